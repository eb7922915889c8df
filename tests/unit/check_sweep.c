/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_sweep.c -- one input of a site, step by step.
 *
 * Each step must say what fc_check() says of the file in which the value was
 * written by hand: here by the replacement of a line in the text of invented
 * buildings.  Where a flip is told, both of its neighbors are written so, and
 * are one unit of the last digit apart.
 */
#include "flushcalc.h"
#include "generators/buildings.h"
#include "generators/sites.h"
#include "unit/suite.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const fc_check_options few = { .most_states = 2048, .threads = 2 };

/* What a check says in short. */
struct outcome {
    fc_status status;
    fc_verdict works, too_high;
    fc_verdict existing, existing_high;
    size_t working, failing;
    double margin;
};

static struct outcome
check_text(const char *text)
{
    struct outcome o = { .margin = NAN };
    fc_check_result *result = NULL;
    fc_site *site = NULL;

    o.status = fc_site_read_text(text, strlen(text), "s.ini", &site, NULL);
    if (o.status == FC_OK)
        o.status = fc_check_with(site, &few, &result, NULL);
    if (o.status == FC_OK) {
        const fc_state judged = result->converted ? FC_RETROFIT : FC_EXISTING;
        const fc_checked_state *s = &result->states[judged];

        o.works = result->works;
        o.too_high = result->too_high;
        o.existing = result->states[FC_EXISTING].works;
        o.existing_high = result->states[FC_EXISTING].too_high;
        o.working = s->working;
        o.failing = s->failing;
        if (s->governing < result->n_fixtures)
            o.margin =
                result->fixtures[s->governing].states[judged].margin.low;
    }
    fc_check_result_free(result);
    fc_site_free(site);
    return o;
}

static void
same(const fc_sweep_step *step, const char *text)
{
    const struct outcome o = check_text(text);
    const fc_site_state *s = &step->line.states[step->line.judged];

    ck_assert_msg(step->line.calculated == (o.status == FC_OK), "%s",
                  step->value);
    if (o.status != FC_OK) {
        ck_assert_ptr_nonnull(step->error);
        return;
    }
    ck_assert_int_eq(step->line.works, o.works);
    ck_assert_int_eq(step->line.too_high, o.too_high);
    ck_assert_int_eq(step->line.states[FC_EXISTING].works, o.existing);
    ck_assert_int_eq(step->line.states[FC_EXISTING].too_high, o.existing_high);
    ck_assert_uint_eq(s->working, o.working);
    ck_assert_uint_eq(s->failing, o.failing);
    if (!isnan(o.margin))
        ck_assert_double_eq(s->margin.low, o.margin);
}

/* The text with another value in the line of the key that follows `head`. */
static char *
written(const char *text, const char *head, const char *key, const char *value)
{
    const char *section = strstr(text, head);
    char line[80], *out = malloc(strlen(text) + strlen(value) + 8);
    const char *at, *end;

    ck_assert_ptr_nonnull(section);
    snprintf(line, sizeof line, "\n%s = ", key);
    at = strstr(section, line);
    ck_assert_ptr_nonnull(at);
    at += strlen(line);
    end = strchr(at, '\n');
    sprintf(out, "%.*s%s%s", (int)(at - text), text, value, end);
    return out;
}

static void
same_all(const char *text, const char *head, const char *key, const char *what,
         size_t *flips)
{
    fc_site *site = site_of(text);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_sweep_result *sweep = NULL;
    const fc_status status = fc_sweep(site, what, &few, &sweep, messages);
    const struct outcome given = check_text(text);

    ck_assert_msg(status == FC_OK, "%s: %s", what, all_messages(messages));
    ck_assert_int_eq(sweep->given.works, given.works);
    for (size_t i = 0; i < sweep->n_steps; i++) {
        char *other = written(text, head, key, sweep->steps[i].value);

        same(&sweep->steps[i], other);
        free(other);
    }
    for (size_t i = 0; i < sweep->n_flips; i++) {
        const fc_sweep_flip *flip = &sweep->flips[i];
        char *before = written(text, head, key, flip->before.value);
        char *after = written(text, head, key, flip->after.value);
        const struct outcome a = check_text(before), b = check_text(after);

        same(&flip->before, before);
        same(&flip->after, after);
        ck_assert(a.status != b.status || a.works != b.works
                  || a.too_high != b.too_high || a.existing != b.existing
                  || a.existing_high != b.existing_high);
        ck_assert_double_eq_tol(fabs(flip->after.figure - flip->before.figure),
                                0.1, 1e-9);
        free(before);
        free(after);
    }
    *flips += sweep->n_flips;
    fc_sweep_result_free(sweep);
    fc_diagnostics_free(messages);
    fc_site_free(site);
}

START_TEST(steps_are_checks_of_the_written_site)
{
    const struct building_style style = { .units = FC_US };
    size_t flips = 0;

    for (unsigned long seed = 1; seed <= 24; seed++) {
        const struct building_plan plan = { .fewest = 3,
                                            .most = 9,
                                            .ranges = seed % 2 };
        struct building b;
        char *text, *pipe, what[120], head[80];

        building_make(&b, 7700 + seed, &plan);
        text = building_text(&b, &style);
        building_free(&b);
        pipe = strstr(text, "[pipe ");
        if (pipe) {
            snprintf(head, sizeof head, "%.*s", (int)strcspn(pipe, "\n"),
                     pipe);
            snprintf(what, sizeof what, "%.*s.length=5..65 ft/6",
                     (int)strcspn(pipe + 6, "]"), pipe + 6);
            if (strstr(pipe, "\nlength = "))
                same_all(text, head, "length", what, &flips);
        }
        free(text);
    }
    ck_assert_uint_gt(flips, 0);
    building_tables_end();
}
END_TEST

/* ---- By hand ----------------------------------------------------------- */

static const char tower[] =
    "[site]\nmaterial = copper L\ncondition = new\n"
    "[source feed]\nkind = fixed\npressure = 55..60 psi\n"
    "[pipe riser-1]\nfrom = feed\nsize = 2 in\nlength = 40 ft\n"
    "fittings = none\n"
    "[pipe riser-{floor}]\nfloors = 2, 3\nfrom = riser-{floor-1}\n"
    "size = 1-1/2 in\nlength = 12 ft\nrise = 12 ft\nfittings = none\n"
    "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
    "kind = water closet, flush valve\nsupply size = 1 in\n";

static fc_sweep_result *
swept(const char *what)
{
    fc_site *site = site_of(tower);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_sweep_result *sweep = NULL;

    ck_assert_msg(fc_sweep(site, what, &few, &sweep, messages) == FC_OK, "%s",
                  all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
    return sweep;
}

/* A swept value takes the place of a range, and counts as exact. */
START_TEST(a_range_is_replaced)
{
    fc_sweep_result *sweep = swept("feed.pressure = 40 .. 80 psi / 4");

    ck_assert_uint_eq(sweep->n_steps, 5);
    ck_assert_str_eq(sweep->steps[1].value, "50.0 psi");
    ck_assert_str_eq(sweep->was, "55..60 psi");
    ck_assert_uint_ge(sweep->n_flips, 1);
    for (size_t i = 0; i < sweep->n_steps; i++) {
        char *text =
            written(tower, "[source feed]", "pressure", sweep->steps[i].value);

        same(&sweep->steps[i], text);
        free(text);
    }
    fc_sweep_result_free(sweep);
}
END_TEST

START_TEST(sizes_go_through_the_table)
{
    static const char *const sizes[] = { "2 in", "1-1/2 in", "1-1/4 in",
                                         "1 in" };
    fc_sweep_result *sweep = swept("riser-{floor}.size=2 in..1 in");

    ck_assert_uint_eq(sweep->n_steps, 4);
    for (size_t i = 0; i < 4; i++) {
        char *text = written(tower, "[pipe riser-{floor}]", "size", sizes[i]);

        ck_assert_str_eq(sweep->steps[i].value, sizes[i]);
        same(&sweep->steps[i], text);
        free(text);
    }
    fc_sweep_result_free(sweep);
}
END_TEST

START_TEST(counts_stay_whole)
{
    fc_sweep_result *sweep = swept("wc-3.count=1..4");

    ck_assert_uint_eq(sweep->n_steps, 4);
    ck_assert_str_eq(sweep->steps[3].value, "4");
    fc_sweep_result_free(sweep);
}
END_TEST

/* Too low and too high: two flips, each between its neighbors. */
START_TEST(verdicts_may_flip_back)
{
    fc_sweep_result *sweep = swept("feed.pressure=30..150 psi/6");

    ck_assert_uint_ge(sweep->n_flips, 2);
    for (size_t i = 0; i < sweep->n_flips; i++)
        ck_assert_double_eq_tol(sweep->flips[i].after.figure
                                    - sweep->flips[i].before.figure,
                                0.1, 1e-9);
    ck_assert_ptr_nonnull(strstr(sweep->flips[0].text, " from "));
    fc_sweep_result_free(sweep);
}
END_TEST

/* What the sentence says of the two verdicts is so in files written with the
 * values that it names. */
START_TEST(each_verdict_has_its_flip)
{
    fc_sweep_result *sweep = swept("feed.pressure=30..150 psi/3");
    const char *works, *high;
    double from, too_high;

    ck_assert_uint_eq(sweep->n_told, 1);
    works = strstr(sweep->told[0], "Verdict: works from ");
    high = strstr(sweep->told[0], "; too much pressure from ");
    ck_assert_ptr_nonnull(works);
    ck_assert_ptr_nonnull(high);
    from = strtod(works + strlen("Verdict: works from "), NULL);
    too_high = strtod(high + strlen("; too much pressure from "), NULL);
    for (int last = 0; last < 2; last++) {
        char value[40], *text;
        struct outcome o;

        snprintf(value, sizeof value, "%.1f psi", from - 0.1 * last);
        text = written(tower, "[source feed]", "pressure", value);
        o = check_text(text);
        ck_assert_int_eq(o.works == FC_WORKS, !last);
        free(text);
        snprintf(value, sizeof value, "%.1f psi", too_high - 0.1 * last);
        text = written(tower, "[source feed]", "pressure", value);
        o = check_text(text);
        ck_assert_int_eq(o.too_high == FC_WILL_NOT_WORK, !last);
        free(text);
    }
    fc_sweep_result_free(sweep);
}
END_TEST

START_TEST(the_same_at_every_step)
{
    fc_sweep_result *sweep = swept("feed.pressure=2..4 psi/2");

    ck_assert_uint_eq(sweep->n_flips, 0);
    ck_assert_uint_eq(sweep->n_told, 1);
    ck_assert_str_eq(sweep->told[0],
                     "The verdict is the same at every step: does not work.");
    fc_sweep_result_free(sweep);
}
END_TEST

/* ---- Its plot ----------------------------------------------------------- */

#define MOST_LABELS 12

/* A label of the plot takes at least 6 of its units for each character, as the
 * font is 12 high; no line of another flip goes through it. */
START_TEST(no_line_crosses_a_label)
{
    static const char *const inputs[] = {
        "feed.pressure=30..150 psi/3", "feed.pressure=150..30 psi/9",
        "feed.pressure=40..90 psi/4",  "feed.pressure=44..64 psi/7",
        "riser-1.length=1..900 ft/5",
    };
    fc_sweep_result *sweep = swept(inputs[_i]);
    fc_site *site = site_of(tower);
    fc_report *report = NULL;
    char *page = NULL, *at;
    double x[MOST_LABELS], top[MOST_LABELS], end[MOST_LABELS];
    double base[MOST_LABELS], width[MOST_LABELS];
    size_t n = 0;

    ck_assert_int_eq(fc_report_sweep(site, sweep, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, FC_HTML, NULL, &page, NULL, NULL),
                     FC_OK);
    for (at = page; (at = strstr(at, "class=\"flip\"")); n++) {
        const char *value = strstr(at, "data-value=\"") + 12;

        ck_assert_uint_lt(n, MOST_LABELS);
        width[n] = 6.0 * (double)strcspn(value, "\"");
        at = strstr(at, " x1=\"");
        x[n] = strtod(at + 5, NULL);
        top[n] = strtod(strstr(at, " y1=\"") + 5, NULL);
        at = strstr(at, "<text");
        end[n] = strtod(strstr(at, " x=\"") + 4, NULL);
        base[n] = strtod(strstr(at, " y=\"") + 4, NULL);
        ck_assert_double_lt(end[n], x[n]);
    }
    ck_assert_uint_gt(n, 0);
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < n; k++) {
            const bool in_row = fabs(base[i] - base[k]) < 8;

            if (i == k)
                continue;
            ck_assert_msg(!(x[k] > end[i] - width[i] && x[k] <= end[i]
                            && top[k] < base[i]),
                          "%s: line %zu through label %zu", inputs[_i], k, i);
            ck_assert_msg(!in_row || end[i] <= end[k] - width[k]
                              || end[k] <= end[i] - width[i],
                          "%s: labels %zu and %zu meet", inputs[_i], k, i);
        }
    fc_free(page);
    fc_report_free(report);
    fc_site_free(site);
    fc_sweep_result_free(sweep);
}
END_TEST

static const struct {
    const char *what, *said;
} refused[] = {
    { "", "is no sweep" },
    { "feed.pressure", "is no sweep" },
    { "feed.pressure=40 psi", "is no sweep" },
    { "pressure=40..50 psi", "is no sweep" },
    { "feed.pressure=40..50 psi/0", "1 to 1000 steps" },
    { "feed.pressure=40..50 psi/1001", "1 to 1000 steps" },
    { "feed.pressure=40..50 psi/99999999", "1 to 1000 steps" },
    { "feed.pressure=low..high", "two figures in one unit" },
    { "feed.pressure=40..40 psi", "two figures in one unit" },
    { "feed.pressure=40 psi..3 bar", "two figures in one unit" },
    { "feed.pressure=40..50", "has no unit" },
    { "feed.pressure=40..50 gpm", "" },
    { "feed.nothing=40..50 psi", "has no key" },
    { "nobody.pressure=40..50 psi", "not a part" },
    { "riser-1.size=1 in..1 in", "two sizes" },
    { "riser-1.size=1 in..1.9 in", "" },
    { "wc-1.size=1 in..2 in", "" },
};

START_TEST(refuses)
{
    fc_site *site = site_of(tower);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_sweep_result *sweep = NULL;

    ck_assert_int_eq(fc_sweep(site, refused[_i].what, &few, &sweep, messages),
                     FC_EINPUT);
    ck_assert_ptr_null(sweep);
    ck_assert_uint_ge(fc_diagnostics_count(messages), 1);
    ck_assert_msg(strstr(all_messages(messages), refused[_i].said), "%s: %s",
                  refused[_i].what, all_messages(messages));
    fc_diagnostics_free(messages);
    fc_site_free(site);
    fc_sweep_result_free(NULL);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("sweep");
    TCase *cases = tcase_create("sweep");

    tcase_add_test(cases, steps_are_checks_of_the_written_site);
    tcase_add_test(cases, a_range_is_replaced);
    tcase_add_test(cases, sizes_go_through_the_table);
    tcase_add_test(cases, counts_stay_whole);
    tcase_add_test(cases, verdicts_may_flip_back);
    tcase_add_test(cases, each_verdict_has_its_flip);
    tcase_add_test(cases, the_same_at_every_step);
    tcase_add_loop_test(cases, no_line_crosses_a_label, 0, 5);
    tcase_add_loop_test(cases, refuses, 0, COUNT(refused));
    suite_add_tcase(suite, cases);
    return run_suite(suite);
}
