/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/status.c -- statuses in words, and the version. */
#include "flushcalc.h"

#ifndef FCI_VERSION
#error "the build defines FCI_VERSION"
#endif

const char *
fc_status_text(fc_status status)
{
    switch (status) {
#define STATUS_TEXT(code, text)                                               \
    case code:                                                                \
        return text;
        FC_STATUS_LIST(STATUS_TEXT)
#undef STATUS_TEXT
    }
    return "unknown status";
}

const char *
fc_version(void)
{
    return FCI_VERSION;
}
