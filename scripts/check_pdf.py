"""Hold PDFs against every rule of PDF/A-3a and PDF/UA-1 that page-validation (PyPI, MIT) knows.

Not among the locked packages, because its module has a name that others have too: install it in an environment of its
own, then `python scripts/check_pdf.py my-vehicle/dossier/*.pdf`. Exit code 1 where a file breaks a rule.
"""

from __future__ import annotations

import sys

import page

broken = False
for path in sys.argv[1:]:
    for profile in ("3a", "ua1"):
        found = page.validate_pdf(path, profile=profile)
        print(f"{path}: {profile}, {found.rules.total} rules, {found.rules.failed} broken")
        broken |= not found.is_compliant
        for failure in found.failures:
            print(f"  {failure.rule_id}: {failure.message}")
sys.exit(broken)
