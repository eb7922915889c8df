/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/report_data.c -- reports as a program gets them. */
#include "unit/report_data.h"
#include "unit/suite.h"

#include <string.h>

json_t *
report_data(fc_report *report)
{
    const fc_report_options how = { .width = 80, .full = true };
    char *text = NULL;
    json_t *data;

    ck_assert_int_eq(fc_report_write(report, FC_JSON, &how, &text, NULL, NULL),
                     FC_OK);
    data = json_loads(text, 0, NULL);
    ck_assert_ptr_nonnull(data);
    fc_report_free(report);
    fc_free(text);
    return data;
}

void
drop_keys(json_t *data, const char *const *keys)
{
    for (; *keys; keys++)
        json_object_del(data, *keys);
}

/* Where two texts part, and some of what comes before. */
static size_t
before_the_difference(const char *a, const char *b)
{
    size_t n = 0;

    while (a[n] && a[n] == b[n])
        n++;
    return n > 200 ? n - 200 : 0;
}

void
same_data(json_t *one, json_t *other, const char *what, const char *text)
{
    if (!json_equal(one, other)) {
        char *a = json_dumps(one, JSON_INDENT(1));
        char *b = json_dumps(other, JSON_INDENT(1));
        const size_t at = before_the_difference(a, b);

        ck_abort_msg("%s, in\n%.3000s\n%.400s\nbut else\n%.400s", what, text,
                     a + at, b + at);
    }
}

json_t *
checked_data(const char *text, const char *path, const char *const *settings,
             size_t n, const fc_check_options *options, fc_status *status)
{
    static const char *const own[] = { "set", "digest", NULL };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    fc_site *site = NULL;
    json_t *data = NULL;

    *status = fc_site_read_text_with(text, strlen(text), path, settings, n,
                                     &site, NULL);
    if (*status == FC_OK)
        *status = fc_check_with(site, options, &result, NULL);
    if (*status == FC_OK) {
        ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
        data = report_data(report);
        drop_keys(data, own);
    }
    fc_check_result_free(result);
    fc_site_free(site);
    return data;
}
