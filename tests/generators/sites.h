/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/sites.h -- what tests of whole sites share. */
#ifndef TESTS_GENERATORS_SITES_H
#define TESTS_GENERATORS_SITES_H

#include "flushcalc.h"
#include "unit/suite.h"
#include "unit/us_units.h"

#include <stdio.h>
#include <string.h>

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

/* What a calculation tells of how far it is: never less than before. */
struct heard {
    double last;
    int times;
};

static inline void
hear(void *context, double done)
{
    struct heard *heard = context;

    ck_assert_double_ge(done, heard->last);
    ck_assert_double_le(done, 1);
    heard->last = done;
    heard->times++;
}

/* The first of such findings; NULL: none. */
static inline const fc_finding *
finding_of(const fc_finding *findings, size_t n, const char *about,
           const char *subject)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (strcmp(findings[i].about, about) == 0
            && strcmp(findings[i].subject, subject) == 0)
            return &findings[i];
    return NULL;
}

/* The test fails where there is none. */
static inline const fc_flush_element *
flush_element(const fc_flush_result *result, const char *name)
{
    size_t i;

    for (i = 0; i < result->n_elements; i++)
        if (strcmp(result->elements[i].name, name) == 0)
            return &result->elements[i];
    ck_abort_msg("no element %s", name);
    return NULL;
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

/* A size of the built-in tables that no supply house has (common practice). */
static inline bool
is_on_order(const char *label)
{
    return strcmp(label, "5/8 in") == 0 || strcmp(label, "3-1/2 in") == 0
           || strcmp(label, "5 in") == 0;
}

#endif
