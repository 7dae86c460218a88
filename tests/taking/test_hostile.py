"""Hostile files, each in a child process with little memory and time: refused, or harmless."""

from __future__ import annotations

import io
import subprocess
import sys
import zipfile
from email.message import EmailMessage
from pathlib import Path

import pytest
import yaml

from tests.taking.drafts import SUPPLIER, a_folder

MEMORY = 1 << 30
SECONDS = 20
CHILD = """\
import resource, sys
resource.setrlimit(resource.RLIMIT_AS, ({memory}, {memory}))
resource.setrlimit(resource.RLIMIT_CPU, ({seconds}, {seconds}))
from quotegen.cli import main
sys.exit(main(sys.argv[1:]))
"""


def taken(folder: Path, name: str, data: bytes) -> subprocess.CompletedProcess[str]:
    file = folder / "quotes" / SUPPLIER / name
    file.write_bytes(data)
    child = CHILD.format(memory=MEMORY, seconds=SECONDS)
    command = [sys.executable, "-c", child, "take", str(file), "--folder", str(folder)]
    return subprocess.run(
        [*command, "--no-input"], capture_output=True, text=True, timeout=60, check=False
    )


def zipped(parts: dict[str, bytes]) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return stream.getvalue()


def nested_mail(depth: int) -> bytes:
    text = "From: a@example.test\n"
    for number in range(depth):
        text += f'Content-Type: multipart/mixed; boundary="b{number}"\n\n--b{number}\n'
    return text.encode()


def mail_of_many(count: int) -> bytes:
    message = EmailMessage()
    message["From"] = "a@example.test"
    message.set_content("see attached")
    for number in range(count):
        message.add_attachment(b"x", maintype="text", subtype="csv", filename=f"{number}.csv")
    return message.as_bytes()


ENTITIES = '<!DOCTYPE q [<!ENTITY a "xxxxxxxxxx">' + "".join(
    f'<!ENTITY {chr(98 + n)} "{f"&{chr(97 + n)};" * 10}">' for n in range(9)
)
BOMBS = {
    "entities.xml": (ENTITIES + "]><q>&j;</q>").encode(),
    "external.xml": b'<!DOCTYPE q [<!ENTITY x SYSTEM "file:///etc/passwd">]><q>&x;</q>',
    "deep.xml": b"<a>" * 200_000,
    "large.xml": b"<a>" + b"<b/>" * 1_500_000 + b"</a>",
    "swells.xlsx": zipped({"xl/worksheets/sheet1.xml": b"<row>" * 20_000_000}),
    "empty.xlsx": zipped({}),
    "broken.xlsx": b"PK\x03\x04" + b"\0" * 400,
    "parts.eml": nested_mail(3000),
    "many.eml": mail_of_many(400),
    "wide.csv": b"1;" * 2_000_000,
    "long.csv": b"a;b\n" * 1_000_000,
    "quotes.csv": b'"' * 1_000_000,
    "binary.csv": bytes(range(256)) * 100,
    "nulls.txt": b"\0" * 5000,
    "line.txt": b"50 pcs 17.40 EUR each " * 40_000,
    "digits.txt": b"9" * 900_000,
    "spaces.txt": b" " * 400_000 + b"x" + b" " * 400_000,
    "dots.txt": b"1." * 400_000,
    "commas.txt": b"per 1,000,000,000," * 40_000,
    "stars.md": b"*" * 900_000,
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_ends_soon_with_a_message_or_a_question(name: str, tmp_path: Path) -> None:
    """One GiB and 20 seconds of processor: neither is reached, and nothing ends in a traceback."""
    ran = taken(a_folder(tmp_path), name, BOMBS[name])
    assert ran.returncode == 1, (ran.returncode, ran.stdout[-300:], ran.stderr[-600:])
    assert "Traceback" not in ran.stderr
    assert "MemoryError" not in ran.stderr


HOSTILE = """\
Quotation <script>alert(1)</script> Q-1;Date 2026-10-01
Drawing FL-021;"=HYPERLINK(""http://evil.test"")"
Qty;Price each EUR
50;17,40
100;16,95
\x1b[2J\u202emalicious;{jndi:ldap}
note: &anchor *alias !!python/object;- x: y
"""


def test_hostile_text_is_only_text_in_the_form(tmp_path: Path) -> None:
    folder = a_folder(tmp_path)
    ran = taken(folder, "q-1.csv", HOSTILE.encode())
    assert "\x1b" not in ran.stdout + ran.stderr
    text = (folder / "quotes" / SUPPLIER / "q-1.yaml").read_text(encoding="utf-8")
    assert "\x1b" not in text
    assert "\u202e" not in text
    form = yaml.safe_load(text)
    assert any("&anchor *alias !!python/object" in note for note in form["notes"])


def test_a_link_out_of_the_folder_is_not_followed_by_a_name(tmp_path: Path) -> None:
    """A name with `..` or a slash never becomes a path."""
    folder = a_folder(tmp_path)
    form = folder / "quotes" / SUPPLIER / "q.yaml"
    form.write_text(
        "format: 1\nquote: q\ndate: 2026-10-01\ncurrency: EUR\nitems: []\n"
        "taken: {file: ../../../../etc/passwd, file sha256: x, draft sha256: x}\n",
        encoding="utf-8",
    )
    child = [sys.executable, "-m", "quotegen", "check", "--folder", str(folder)]
    ran = subprocess.run(child, capture_output=True, text=True, check=False)
    assert "file-outside" in ran.stdout
