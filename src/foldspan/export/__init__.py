"""Reports written to files, a visit as FHIR."""
