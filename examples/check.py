# SPDX-License-Identifier: GPL-3.0-or-later
"""examples/check.py -- check a site file through the library, from Python.

    python3 check.py clinic.ini

prints the verdict and what was found.  No package is needed but the library
itself: everything goes through its C functions, and a report in JSON tells the
rest.
"""

import ctypes
import json
import sys

FC_OK, FC_JSON = 0, 3


class Diagnostic(ctypes.Structure):
    """fc_diagnostic: a message of the library."""

    _fields_ = [("severity", ctypes.c_int), ("file", ctypes.c_char_p),
                ("line", ctypes.c_int), ("text", ctypes.c_char_p),
                ("reserved", ctypes.c_ulonglong * 8)]


LIB = ctypes.CDLL("libflushcalc.so.0")
LIB.fc_diagnostics_new.restype = ctypes.c_void_p
LIB.fc_diagnostics_count.restype = ctypes.c_size_t
LIB.fc_diagnostics_at.restype = Diagnostic
MESSAGES = ctypes.c_void_p(LIB.fc_diagnostics_new())


def ask(call, *arguments):
    """What a call puts into its last argument but one; ends on failure."""
    made = ctypes.c_void_p()
    if call(*arguments, ctypes.byref(made), MESSAGES) != FC_OK:
        sys.exit("\n".join(
            LIB.fc_diagnostics_at(MESSAGES, ctypes.c_size_t(i)).text.decode()
            for i in range(LIB.fc_diagnostics_count(MESSAGES))))
    return made


site = ask(LIB.fc_site_read, sys.argv[1].encode())
result = ask(LIB.fc_check, site)
report, text = ctypes.c_void_p(), ctypes.c_char_p()
LIB.fc_report_check(site, result, None, ctypes.byref(report))
LIB.fc_report_write(report, FC_JSON, None, ctypes.byref(text), None, MESSAGES)
told = json.loads(text.value.decode())
print("%s: %s" % (told["title"], told["verdict"]))
for finding in told["findings"]:
    print("%s: %s" % (finding["severity"], finding["text"]))
LIB.fc_free(text)
LIB.fc_report_free(report)
LIB.fc_check_result_free(result)
LIB.fc_site_free(site)
LIB.fc_diagnostics_free(MESSAGES)
