"""Fail unless the browser tests ran: a machine with no browser must not pass by skipping them."""

import sys
import xml.etree.ElementTree as ElementTree

SUITES = ("test_live", "test_page", "test_sound", "test_player", "test_band", "test_scene_parity")

cases = list(ElementTree.parse(sys.argv[1]).iter("testcase"))
for suite in SUITES:
    mine = [case for case in cases if f".{suite}" in (case.get("classname") or "")]
    skipped = [case.get("name") for case in mine if case.find("skipped") is not None]
    print(f"browser tests in {suite}: {len(mine)}, skipped: {len(skipped)}")
    if not mine or skipped:
        sys.exit(f"the browser tests of {suite} did not all run")
