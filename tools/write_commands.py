"""Write docs/commands.md from the command line's own help, so that the two cannot differ.

python tools/write_commands.py          writes the page
python tools/write_commands.py --check  exits with 1 where the page is not as the help is
"""

from __future__ import annotations

import io
import sys
from contextlib import redirect_stdout
from pathlib import Path

from giornata.cli.front import EXIT_CODES, main

PAGE = Path(__file__).parents[1] / "docs" / "commands.md"

HEAD = """# Commands

Made from the program's own help by `tools/write_commands.py`; a test holds the two together.

The job folder is the last word, and is the present folder where it is left out. `explain` takes
its two words in either order. Reports go to the screen (stdout), errors and the progress bar to
stderr; the bar is drawn on a terminal only, and never with `--json` or `--quiet`. Tables keep
within 80 columns. Colour is used on a terminal alone, and not where `NO_COLOR` is set.

A report ends with the findings that belong to it, the gravest first, and says how many there are
elsewhere; a finding that stops the job is printed by every verb that derives.

## Exit codes

| code | meaning |
|---|---|
%(codes)s

## JSON

With `--json` every verb but `serve` writes one object:

```text
{
  "job":      folder, name, place, client, date, units, currency, content_digest; null for
              new, set, undo, log and version
  "digest":   of the job file, for: giornata set --seen
  "result":   the verb's values and tables, by name; a table is a list of rows
  "findings": each with severity (stop, warn, note), code, subject, message, remedy, and place
              (file, line) or null
}
```

A number with a unit is an object: `value` and `unit` in SI (m, m², m³, s, lx) whatever `--units`
says, `shown` as it is printed, and for a figure its `basis` and, where it was carried through, its
`sigma`. Money and billed areas are exact decimals and so are text ("7200.00"). What is not known
is null. `explain NAME` nests a figure's `parts`.

Where the verb could not be done the object is `{"error": {"message", "remedy", "exit_code",
"findings"}}`.
"""


def help_of(*verb: str) -> str:
    """The help of the program, or of a verb."""
    with redirect_stdout(io.StringIO()) as said:
        main([*verb, "--help"])
    return "\n".join(row.rstrip() for row in said.getvalue().strip().splitlines())


def verbs() -> list[str]:
    """All verbs, in the order of the help."""
    listed = help_of().partition("Commands:")[2]
    rows = (row for row in listed.splitlines() if row.startswith("  ") and row[2] != " ")
    return [row.split()[0] for row in rows]


def page() -> str:
    """The whole page."""
    codes = "\n".join(f"| {code} | {meaning} |" for code, meaning in EXIT_CODES.items())
    parts = [HEAD % {"codes": codes}, "## giornata\n", f"```text\n{help_of()}\n```\n"]
    for verb in verbs():
        parts += [f"## giornata {verb}\n", f"```text\n{help_of(verb)}\n```\n"]
    return "\n".join(parts)


if __name__ == "__main__":
    if "--check" in sys.argv:
        sys.exit(PAGE.read_text() != page())
    PAGE.write_text(page())
