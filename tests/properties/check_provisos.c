/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_provisos.c -- "works if" of generated sites, put into
 * the site file by hand: the figure as it is printed, and one step to its good
 * side, make the site work.
 */
#include "generators/sites.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdarg.h>

#define SITES 1500
#define LEAST_ENTERED 200
#define MOST_LINES 64

struct line {
    char section[40], key[24], value[60];
};

struct text {
    struct line lines[MOST_LINES];
    int n;
};

static void
put(struct text *t, const char *section, const char *key, const char *format,
    ...)
{
    struct line *line = t->lines;
    va_list args;

    while (line < t->lines + t->n
           && (strcmp(line->section, section) != 0
               || strcmp(line->key, key) != 0))
        line++;
    ck_assert(line < t->lines + MOST_LINES);
    t->n += line == t->lines + t->n;
    snprintf(line->section, sizeof line->section, "%s", section);
    snprintf(line->key, sizeof line->key, "%s", key);
    va_start(args, format);
    vsnprintf(line->value, sizeof line->value, format, args);
    va_end(args);
}

/* Sections in the order in which they first came. */
static void
write_site(const struct text *t, char *out, size_t size)
{
    size_t used = 0;
    int i, k;

    for (i = 0; i < t->n; i++) {
        for (k = 0; k < i; k++)
            if (strcmp(t->lines[k].section, t->lines[i].section) == 0)
                break;
        if (k < i)
            continue;
        used += (size_t)snprintf(out + used, size - used, "[%s]\n",
                                 t->lines[i].section);
        for (k = i; k < t->n; k++)
            if (strcmp(t->lines[k].section, t->lines[i].section) == 0)
                used += (size_t)snprintf(out + used, size - used, "%s = %s\n",
                                         t->lines[k].key, t->lines[k].value);
        ck_assert_uint_lt(used, size);
    }
}

/* ---- Sites -------------------------------------------------------------- */

static double
between(gsl_rng *rng, double low, double high)
{
    return floor(10 * (low + (high - low) * gsl_rng_uniform(rng))) / 10;
}

static bool
one_in(gsl_rng *rng, unsigned long n)
{
    return gsl_rng_uniform_int(rng, n) == 0;
}

static void
some_range(struct text *t, gsl_rng *rng, const char *section, const char *key,
           double low, double high, const char *unit)
{
    const double a = between(rng, low, high);

    if (one_in(rng, 2))
        put(t, section, key, "%.1f %s", a, unit);
    else
        put(t, section, key, "%.1f..%.1f %s", a,
            a + between(rng, 0.1, (high - low) / 2), unit);
}

#define TYPICAL "pipe riser-{floor}"

static void
some_site(struct text *t, gsl_rng *rng)
{
    const double still = between(rng, 45, 75);
    const int floors = 2 + (int)gsl_rng_uniform_int(rng, 3);

    t->n = 0;
    put(t, "site", "title", "Invented");
    put(t, "site", "material", one_in(rng, 4) ? "steel sch 40" : "copper L");
    put(t, "site", "maximum static", "150 psi");
    if (one_in(rng, 3))
        put(t, "tolerance", "elevation", "%.1f ft", between(rng, 0.2, 3));
    if (one_in(rng, 4))
        put(t, "tolerance", "pressure", "%.1f psi", between(rng, 0.5, 4));
    if (one_in(rng, 4))
        put(t, "tolerance", "length", "%.0f %%", between(rng, 5, 30));
    if (one_in(rng, 6))
        put(t, "tolerance", "c", "%.0f %%", between(rng, 5, 15));
    put(t, "source main", "kind", "street main");
    if (one_in(rng, 2))
        put(t, "source main", "static", "%.1f psi", still);
    else
        put(t, "source main", "static", "%.1f..%.1f psi", still,
            still + between(rng, 1, 5));
    if (!one_in(rng, 8)) {
        put(t, "source main", "residual", "%.1f psi",
            still - between(rng, 0, 6));
        put(t, "source main", "residual flow", "%.1f gpm",
            between(rng, 30, 120));
        if (one_in(rng, 3))
            put(t, "source main", "within", "%.1f psi", between(rng, 0.1, 2));
        else if (one_in(rng, 3)) {
            put(t, "source main", "gauge", "g");
            put(t, "gauge g", "marks", "%.1f psi", between(rng, 0.5, 5));
        }
    }
    put(t, "meter m", "from", "main");
    put(t, "meter m", "loss",
        one_in(rng, 2) ? "%.1f psi at 40 gpm" : "%.1f..12 psi at 40 gpm",
        between(rng, 1, 10));
    put(t, "pipe riser-1", "from", "m");
    put(t, "pipe riser-1", "size", "2 in");
    some_range(t, rng, "pipe riser-1", "length", 20, 80, "ft");
    some_range(t, rng, "pipe riser-1", "rise", 2, 8, "ft");
    put(t, TYPICAL, "floors", "2..%d", floors);
    put(t, TYPICAL, "from", "riser-{floor-1}");
    put(t, TYPICAL, "size", "2 in");
    put(t, TYPICAL, "length", "16 ft");
    some_range(t, rng, TYPICAL, "rise", 9, 14, "ft");
    if (one_in(rng, 2))
        put(t, TYPICAL, "fittings", "none");
    put(t, "fixture wc-{floor}", "floors", "1..%d", floors);
    put(t, "fixture wc-{floor}", "on", "riser-{floor}");
    put(t, "fixture wc-{floor}", "kind", "water closet, flush valve");
    put(t, "fixture wc-{floor}", "count", one_in(rng, 2) ? "1" : "1..2");
}

/* ---- What is printed, entered --------------------------------------------
 */

/* The figure of a sentence and the unit behind it. */
static double
printed_figure(const fc_proviso *p, char *unit, size_t size)
{
    static const char *const before[] = {
        " is at most ",  " is at least ",     " was read within ",
        " are at most ", " come to at most ", " drops less than "
    };
    const char *at = NULL;
    char *end;
    double figure;
    int i;

    for (i = 0; i < COUNT(before) && !at; i++)
        if ((at = strstr(p->text, before[i])))
            at += strlen(before[i]);
    ck_assert_msg(at != NULL, "%s", p->text);
    figure = strtod(at, &end);
    end += *end == ' ';
    snprintf(unit, size, "%.*s", (int)strcspn(end, " "), end);
    return figure;
}

static void
enter_in(struct text *t, const char *of, const char *key, const char *value)
{
    char section[40] = "";
    int i;

    if (strncmp(of, "each of riser-", 14) == 0)
        snprintf(section, sizeof section, TYPICAL);
    if (strcmp(of, "[tolerance]") == 0)
        snprintf(section, sizeof section, "tolerance");
    for (i = 0; !*section && i < t->n; i++) {
        const char *name = strchr(t->lines[i].section, ' ');

        if (name && strcmp(name + 1, of) == 0)
            snprintf(section, sizeof section, "%s", t->lines[i].section);
    }
    if (!*section && strncmp(of, "riser-", 6) == 0)
        snprintf(section, sizeof section, TYPICAL);
    if (!*section && strncmp(of, "wc-", 3) == 0)
        snprintf(section, sizeof section, "fixture wc-{floor}");
    if (!*section && strncmp(of, "each of wc-", 11) == 0)
        snprintf(section, sizeof section, "fixture wc-{floor}");
    ck_assert_msg(*section, "%s %s", of, key);
    put(t, section, key, "%s", value);
}

static const struct {
    const char *input, *key; /* NULL: as the input is called */
} keys[] = {
    { "static pressure", "static" },
    { "residual pressure", "residual" },
    { "residual flow", "residual flow" },
    { "rise", "rise" },
    { "length", "length" },
    { "loss", "loss" },
    { "within", "within" },
    { "marks", "marks" },
    { "count", "count" },
    { "elevation", "elevation" },
    { "pressure", "pressure" },
    { "c", "c" },
};

/* False: it is entered by no key. */
static bool
enter(struct text *t, const fc_proviso *p, double figure, const char *unit)
{
    char value[60], flow[30] = "";
    int i;

    if (!isnan(p->flow))
        snprintf(flow, sizeof flow, " at %.6f gpm",
                 fc_from_si(FC_US, FC_FLOW, p->flow));
    snprintf(value, sizeof value, "%.1f %s%s", figure, unit, flow);
    if (strcmp(p->input, "count") == 0)
        snprintf(value, sizeof value, "%.0f", figure);
    if (strcmp(p->input, "c") == 0 || strchr(unit, '%'))
        snprintf(value, sizeof value, "%.1f %%", figure);
    if (strcmp(p->input, "C") == 0) {
        snprintf(value, sizeof value, "%.0f", figure);
        put(t, "pipe riser-1", "c", "%s", value);
        put(t, TYPICAL, "c", "%s", value);
        return true;
    }
    if (strcmp(p->input, "drop") == 0) {
        put(t, "source main", "test static", "40 psi");
        /* no tolerance widens a range */
        put(t, "source main", "residual", "%.1f..%.1f psi", 40 - figure,
            40.1 - figure);
        put(t, "source main", "residual flow", "%s", flow + 4);
        put(t, "source main", "within", "0 psi");
        return true;
    }
    /* where a test ends */
    if (strcmp(p->input, "pressure") == 0 && strcmp(p->of, "main") == 0)
        return false;
    for (i = 0; i < COUNT(keys); i++)
        if (strcmp(keys[i].input, p->input) == 0) {
            enter_in(t, p->of, keys[i].key, value);
            return true;
        }
    return false;
}

static fc_verdict
check(const struct text *t, bool busy, fc_proviso *proviso)
{
    const fc_check_options options = { .no_busy_period = !busy, .threads = 1 };
    static char text[6000], said[300], input[60], of[60];
    fc_check_result *result = NULL;
    fc_site *site;
    fc_verdict works;

    write_site(t, text, sizeof text);
    site = site_of(text);
    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    works = result->states[FC_EXISTING].works;
    if (proviso) {
        *proviso = result->states[FC_EXISTING].proviso;
        if (proviso->given) {
            snprintf(said, sizeof said, "%s", proviso->text);
            snprintf(input, sizeof input, "%s", proviso->input);
            snprintf(of, sizeof of, "%s", proviso->of);
            proviso->text = said;
            proviso->input = input;
            proviso->of = of;
        }
    }
    fc_check_result_free(result);
    fc_site_free(site);
    return works;
}

START_TEST(true_when_entered)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    int i, step, told = 0, entered = 0, typical = 0, widened = 0;

    for (i = 0; i < SITES; i++) {
        const bool busy = i % 8 == 0;
        struct text site, other;
        fc_proviso p;
        char unit[20];
        double figure, good;

        gsl_rng_set(rng, 1000 + (unsigned long)i);
        some_site(&site, rng);
        if (check(&site, busy, &p) != FC_CANNOT_TELL || !p.given)
            continue;
        told++;
        figure = printed_figure(&p, unit, sizeof unit);
        good = strcmp(p.input, "C") == 0 || strcmp(p.input, "count") == 0
                   ? 1
                   : 0.1;
        for (step = 0; step < 2; step++) {
            const double by = step * (p.at_most ? -good : good);
            char text[6000];

            if (figure + by <= 0 || (step && strcmp(p.input, "within") == 0))
                continue;
            other = site;
            if (!enter(&other, &p, figure + by, unit))
                break;
            write_site(&other, text, sizeof text);
            ck_assert_msg(check(&other, busy, NULL) == FC_WORKS,
                          "site %d, step %d: %s\n%s", i, step, p.text, text);
            entered += step == 0;
            typical += step == 0 && strncmp(p.of, "each of ", 8) == 0;
            widened += step == 0
                       && (strcmp(p.of, "[tolerance]") == 0
                           || strcmp(p.input, "within") == 0
                           || strcmp(p.input, "marks") == 0);
        }
    }
    gsl_rng_free(rng);
    printf("provisos: %d sites, %d told, %d entered; %d of typical floors, %d "
           "of tolerances\n",
           SITES, told, entered, typical, widened);
    ck_assert_int_ge(entered, LEAST_ENTERED);
    ck_assert_int_ge(typical, 5);
    ck_assert_int_ge(widened, 5);
}
END_TEST

/* Four risers share a rise: that of one alone settles nothing, a step beyond
 * does not work. */
START_TEST(each_of_a_typical_section)
{
    struct text site = { .n = 0 }, other;
    fc_proviso p;
    char unit[20];
    double figure;

    put(&site, "site", "material", "copper L");
    put(&site, "source main", "kind", "fixed");
    put(&site, "source main", "pressure", "60 psi");
    put(&site, "pipe riser-1", "from", "main");
    put(&site, "pipe riser-1", "size", "3 in");
    put(&site, "pipe riser-1", "length", "10 ft");
    put(&site, TYPICAL, "floors", "2..5");
    put(&site, TYPICAL, "from", "riser-{floor-1}");
    put(&site, TYPICAL, "size", "3 in");
    put(&site, TYPICAL, "length", "20 ft");
    put(&site, TYPICAL, "rise", "9..16 ft");
    put(&site, "fixture wc", "on", "riser-5");
    put(&site, "fixture wc", "kind", "water closet, flush valve");
    ck_assert_int_eq(check(&site, false, &p), FC_CANNOT_TELL);
    ck_assert(p.given);
    ck_assert_str_eq(p.of, "each of riser-2 to riser-5");
    figure = printed_figure(&p, unit, sizeof unit);
    other = site;
    put(&other, TYPICAL, "rise", "%.1f ft", figure);
    ck_assert_int_eq(check(&other, false, NULL), FC_WORKS);
    put(&other, TYPICAL, "rise", "%.1f ft", figure + 0.1);
    ck_assert_int_ne(check(&other, false, NULL), FC_WORKS);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("provisos");
    TCase *t = tcase_create("entered");

    tcase_set_timeout(t, 600);
    tcase_add_test(t, each_of_a_typical_section);
    tcase_add_test(t, true_when_entered);
    suite_add_tcase(suite, t);
    return run_suite(suite);
}
