/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/sites.h -- what tests of whole sites share. */
#ifndef TESTS_SITES_H
#define TESTS_SITES_H

#include "flushcalc.h"

#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Exact by NIST SP 811 (2008), App. B: lbf/in2 in Pa to all digits of a
 * double, the foot, the inch, the US gallon of 231 in3 and gallons a minute.
 */
#define PSI 6894.757293168361
#define FOOT 0.3048
#define INCH 0.0254
#define GALLON (231 * INCH * INCH * INCH)
#define GPM (GALLON / 60)

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* All messages, one a line, "PATH:LINE: TEXT" where there is a path. */
static inline const char *
all_messages(const fc_diagnostics *messages)
{
    static char text[16384];
    size_t i, used = 0;

    text[0] = '\0';
    for (i = 0; i < fc_diagnostics_count(messages); i++) {
        const fc_diagnostic d = fc_diagnostics_at(messages, i);

        if (d.file)
            used += (size_t)snprintf(text + used, sizeof text - used,
                                     "%s:%d: ", d.file, d.line);
        else
            ck_assert_int_eq(d.line, 0);
        used +=
            (size_t)snprintf(text + used, sizeof text - used, "%s\n", d.text);
        ck_assert_uint_lt(used, sizeof text);
    }
    return text;
}

/* A finished site, or the test fails with what was said. */
static inline fc_site *
site_of(const char *text)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    const fc_status status =
        fc_site_read_text(text, strlen(text), "test.ini", &site, messages);

    ck_assert_msg(status == FC_OK, "%s", all_messages(messages));
    fc_diagnostics_free(messages);
    return site;
}

static inline int
run_suite(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    int failed;

    srunner_run_all(runner, CK_NORMAL);
    failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed ? EXIT_FAILURE : EXIT_SUCCESS;
}

#endif
