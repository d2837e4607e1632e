"""Certificate: made on first use for the local network, kept where only its owner can read it."""

from __future__ import annotations

import datetime
import ipaddress
from dataclasses import dataclass
from pathlib import Path

from foldspan.files.output import write_private
from foldspan.problems import FoldspanError, Problem

# browsers refuse certificates that hold longer
DAYS = 397
RENEWED_BEFORE = 30


@dataclass(frozen=True, slots=True, repr=False)
class Certificate:
    """Files of a certificate, and its fingerprint to compare by eye."""

    certificate_file: str
    """File of the certificate."""
    key_file: str
    """File of its private key."""
    fingerprint: str
    """SHA-256 of the certificate, in pairs."""


def certificate_for(address: str, folder: str) -> Certificate:
    """Return the certificate for an address of the local network, made anew where there is none for it.

    Parameters
    ----------
    address : str
        The IP address that devices ask for.
    folder : str
        Where it is kept; made, for its owner only, where there is none.

    Raises
    ------
    FoldspanError
        E303 where it cannot be kept there.
    """
    place = Path(folder)
    certificate, key = place / "certificate.pem", place / "key.pem"
    try:
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        is_there = key.exists() and certificate.exists() and _holds(certificate, address)
    except OSError:
        what, remedy = "cannot be read or written", "Check the folder and its permissions."
        raise FoldspanError([Problem("E303", folder, what, remedy)]) from None
    if not is_there:
        _make(certificate, key, address)
    return Certificate(str(certificate), str(key), _fingerprint(certificate))


def _make(certificate: Path, key: Path, address: str) -> None:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    private = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "foldspan on this network")])
    today = datetime.datetime.now(datetime.UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(private.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(today - datetime.timedelta(days=1))
        .not_valid_after(today + datetime.timedelta(days=DAYS))
        .add_extension(
            x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(address))]),
            critical=False,
        )
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .sign(private, hashes.SHA256())
    )
    pem = serialization.Encoding.PEM
    text = private.private_bytes(
        pem, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    write_private(str(key), text, replace=True)
    write_private(str(certificate), made.public_bytes(pem), replace=True)


def _holds(path: Path, address: str) -> bool:
    """Whether a certificate is for this address, and holds for a while yet."""
    from cryptography import x509

    try:
        read = x509.load_pem_x509_certificate(path.read_bytes())
        names = read.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except (ValueError, x509.ExtensionNotFound):
        return False
    ends = read.not_valid_after_utc - datetime.timedelta(days=RENEWED_BEFORE)
    wanted = ipaddress.ip_address(address)
    is_for_it = wanted in names.get_values_for_type(x509.IPAddress)
    return is_for_it and ends > datetime.datetime.now(datetime.UTC)


def _fingerprint(path: Path) -> str:
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes

    digest = x509.load_pem_x509_certificate(path.read_bytes()).fingerprint(hashes.SHA256()).hex()
    return " ".join(digest[at : at + 4] for at in range(0, len(digest), 4)).upper()
