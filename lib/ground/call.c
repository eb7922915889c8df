/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/call.c -- what a public call is given, looked at before anything
 * is done with it. */
#include "ground/call.h"
#include "ground/diagnostics.h"

bool
fci_call_refused(fc_diagnostics *messages, const char *call,
                 const struct fci_argument *arguments, size_t n)
{
    size_t i = 0;

    while (i < n && arguments[i].good)
        i++;
    if (i == n)
        return false;
    fci_fail(messages, FC_EINPUT, NULL, 0, "%s: \"%s\" %s", call,
             arguments[i].name, arguments[i].wrong);
    return true;
}

bool
fci_all_given(const char *const *texts, size_t n)
{
    for (size_t i = 0; texts && i < n; i++)
        if (!texts[i])
            return false;
    return true;
}

bool
fci_all_named(const fc_site_file *files, size_t n)
{
    for (size_t i = 0; files && i < n; i++)
        if (!files[i].path)
            return false;
    return true;
}
