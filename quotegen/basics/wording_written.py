"""The words about what quotegen writes itself: records of decisions, and the report."""

from __future__ import annotations

from quotegen.basics.sentences import LEFT_OUT, Wording

WRITTEN: dict[str, Wording] = {
    # records of what was decided
    "record-front-missing": Wording(
        "error",
        "The file begins with '{seen}'; expected facts between two lines `---`.",
        LEFT_OUT,
        "Take the file back from git or a backup; records are written by `quotegen decide`.",
    ),
    "record-edited": Wording(
        "error",
        "fingerprint: expected {expected} for this text, found '{seen}', or the layout was "
        "changed: the record was edited after it was written.",
        "It is listed as edited and does not count as agreed.",
        "Take the file back from git or a backup; to change a decision, write a new one.",
    ),
    "record-misplaced": Wording(
        "error",
        "{field}: the record says '{seen}', its place in the folder says '{expected}'.",
        "It is listed as edited and does not count as agreed.",
        "Put the file back under its own part and number.",
    ),
    "record-gap": Wording(
        "error",
        "{seen}: missing among the records of {part}; expected every number from 0001 on.",
        "The records that are there are shown; what was decided in between is unknown.",
        "Take the missing file back from git or a backup.",
    ),
    "record-fork": Wording(
        "error",
        "previous: the same as in {seen}; two records follow the same one.",
        "Both are shown, and the higher number counts as the later one.",
        "Move the one that was not agreed out of `decisions`, and decide again after the other.",
    ),
    "record-follows-nothing": Wording(
        "error",
        "previous: '{seen}' is not {expected}.",
        "{record} is shown; what it followed is unknown.",
        "Take this record and the one before it back from git or a backup.",
    ),
    "record-name": Wording(
        "error",
        "'{seen}' is not the name of a record; expected a number and .md, such as 0001.md.",
        "It is left out.",
        "Move it out of `decisions`, or give it its own name back.",
    ),
    "record-stray": Wording(
        "error",
        "'{seen}' is not the folder of a part; expected decisions/<part>/0001.md.",
        "It is left out.",
        "Move it out of `decisions`.",
    ),
    "record-part-unknown": Wording(
        "error",
        "part: there are records for '{seen}', but no such part; {hint}",
        "Its records are left out.",
        "Put the file back under parts/, or give the folder the part's present name.",
    ),
    # the written report
    "site-file-foreign": Wording(
        "error",
        "The report did not write this file, and has one of that name to write.",
        "The file is left as it is, and the report lacks this page.",
        "Move the file away, or write the report to another folder with `--to`.",
    ),
    "site-file-changed": Wording(
        "notice",
        "The report has no use for this file any more, but somebody changed it.",
        "It stays, and the report forgets it.",
        "Delete it if you do not need it.",
    ),
    "site-manifest": Wording(
        "error",
        "The list of the files that the report wrote cannot be trusted: {seen}.",
        "Nothing is written, since the report cannot tell its own files from yours.",
        "Delete it together with the files of the old report, or write to another folder "
        "with `--to`.",
    ),
    "site-busy": Wording(
        "error",
        "Another report is being written to this folder.",
        "Nothing is written.",
        "Wait until it is done, then try again.",
    ),
    "site-not-written": Wording(
        "error",
        "The file could not be written: {seen}.",
        "What stood there before stays.",
        "Make room or allow writing there, then try again.",
    ),
    "pdf-libraries-missing": Wording(
        "notice",
        "The libraries that make PDFs are not on this machine ({seen}).",
        "The pages are written as HTML, without PDFs.",
        "As root: apt-get install -y --no-install-recommends libpangoft2-1.0-0 libharfbuzz-subset0",
    ),
    "pdf-failed": Wording(
        "error",
        "The PDF could not be made: {seen}.",
        "It is left out; the page is written as HTML.",
        "Print the page from a browser, and tell the authors of quotegen.",
    ),
    "pdf-letters": Wording(
        "notice",
        "The font of the PDF has no sign for {seen}.",
        "It is printed as '?' there; the page shows it.",
        "Write the name in Latin, Greek or Cyrillic letters, if it matters on paper.",
    ),
}
