/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/same.c -- one building, in two ways. */
#include "fuzz/fuzz.h"
#include "variants/site_write.h"

#include <jansson.h>
#include <math.h>
#include <string.h>

/* ---- As data ----------------------------------------------------------- */

/* What a check tells programs of a building, but for how it came about. */
static json_t *
checked(const fc_site *site, fc_status *status)
{
    static const char *const own[] = { "set", "digest", "tables_digest" };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    json_t *data = NULL;
    char *text = NULL;
    size_t i;

    *status = fc_check_with(site, &fuzz_options, &result, NULL);
    if (*status == FC_OK
        && fc_report_check(site, result, NULL, &report) == FC_OK
        && fc_report_write(report, FC_JSON, NULL, &text, NULL, NULL) == FC_OK)
        data = json_loads(text, 0, NULL);
    for (i = 0; data && i < sizeof own / sizeof *own; i++)
        json_object_del(data, own[i]);
    fc_free(text);
    fc_report_free(report);
    fc_check_result_free(result);
    return data;
}

static bool alike(const json_t *a, const json_t *b);

static bool
alike_members(json_t *a, const json_t *b)
{
    const char *key;
    const json_t *value;

    if (json_object_size(a) != json_object_size(b))
        return false;
    json_object_foreach(a, key, value)
    {
        if (!alike(value, json_object_get(b, key)))
            return false;
    }
    return true;
}

/* A figure that is written in another unit may be read off by the last bits:
 * what pressures are solved to, and the texts with it, may follow. */
static bool
alike(const json_t *a, const json_t *b)
{
    size_t i;

    if (!b || json_typeof(a) != json_typeof(b))
        return false;
    if (json_is_object(a))
        return alike_members((json_t *)(uintptr_t)a, b);
    if (json_is_real(a)) {
        const double x = json_number_value(a), y = json_number_value(b);

        return fabs(x - y) <= 1e-6 * (fabs(x) + fabs(y)) + 1e-4;
    }
    if (!json_is_array(a))
        return json_equal(a, b);
    for (i = 0; i < json_array_size(a); i++)
        if (!alike(json_array_get(a, i), json_array_get(b, i)))
            return false;
    return json_array_size(a) == json_array_size(b);
}

const char *
try_same(const fc_site *one, const fc_site *other)
{
    fc_status status, again;
    json_t *a = checked(one, &status), *b = checked(other, &again);
    const bool same = a && b ? alike(a, b) : a == b;

    json_decref(a);
    json_decref(b);
    HOLDS(status == again);
    HOLDS(same);
    return NULL;
}

/* ---- Written out ------------------------------------------------------- */

static const char *
try_text(const fc_site *site, const char *text)
{
    fc_site *again = NULL;
    const char *broken;

    HOLDS(fuzz_read(text, strlen(text), "nowhere/site.ini", NULL, &again, NULL)
          == FC_OK);
    broken = try_same(site, again);
    fc_site_free(again);
    return broken;
}

/* A copy, and the text of that, which has to put every part into words. */
const char *
try_rewritten(const fc_site *site)
{
    fc_site *copy = NULL;
    char *text = NULL;
    const char *broken;
    fc_status status;

    if (fc_site_tables_digest(site))
        return NULL; /* the text names a file beside it */
    HOLDS(fci_site_changed(site, NULL, 0, &copy, NULL) == FC_OK);
    broken = try_same(site, copy);
    status = fci_site_write_text(copy, NULL, 0, NULL, &text, NULL);
    if (!broken && status != FC_OK && status != FC_EINPUT)
        broken = "a copy can be written, or not put into a file";
    if (!broken && status == FC_OK)
        broken = try_text(site, text);
    fc_free(text);
    fc_site_free(copy);
    return broken;
}
