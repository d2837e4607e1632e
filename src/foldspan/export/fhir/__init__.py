"""FHIR: visits as a Bundle of Observations of HL7 FHIR R4, with LOINC and UCUM codes."""
