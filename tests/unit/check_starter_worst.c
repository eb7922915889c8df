/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_starter_worst.c -- a starter that works does so whatever
 * was not told is: every combination of some answers, and the same file with
 * each range at the end that asks for most.
 */
#include "flushcalc.h"
#include "flushcalc/starter.h"
#include "unit/suite.h"

#include <stdio.h>
#include <string.h>

#define COUNT(array) ((int)(sizeof(array) / sizeof *(array)))

/* NULL: not answered. */
static const char *const stories[] = { "stories=1", "stories=2", "stories=4" };
static const char *const supplies[] = { NULL, "main=60 psi", "main=78 psi",
                                        "pressure=78 psi" };
static const char *const tests[] = { NULL, "flow-test=70 psi at 900 gpm" };
static const char *const meters[] = { NULL, "meter=none", "meter=2 in" };
static const char *const preventers[] = { NULL, "backflow=none",
                                          "backflow=rp" };
static const char *const closets[] = { NULL, "closets=2" };
static const char *const materials[] = { NULL, "material=copper L" };
static const char *const sizes[] = { NULL, "riser=3 in" };

static const struct {
    const char *const *answers;
    int n;
} grid[] = {
    { stories, COUNT(stories) },       { supplies, COUNT(supplies) },
    { tests, COUNT(tests) },           { meters, COUNT(meters) },
    { preventers, COUNT(preventers) }, { closets, COUNT(closets) },
    { materials, COUNT(materials) },   { sizes, COUNT(sizes) },
};

/* Which end of a range asks for more. */
static const struct {
    const char *key;
    bool high;
} worst[] = {
    { "static = ", false }, { "length = ", true }, { "rise = ", true },
    { "loss = ", true },    { "count = ", true },  { "c = ", false },
    { "size = ", false },
};

/* "c = 33..160 ; ..." as "c = 60"; other lines stay. */
static void
put_worst(const char *line, size_t n, FILE *out)
{
    const char *dots = NULL, *high, *unit;
    size_t k = 0, key;
    int i;

    for (i = 0; i < COUNT(worst); i++)
        if (strncmp(line, worst[i].key, strlen(worst[i].key)) == 0)
            break;
    for (k = 0; i < COUNT(worst) && !dots && k + 1 < n && line[k] != ';'; k++)
        if (line[k] == '.' && line[k + 1] == '.')
            dots = line + k;
    if (!dots) {
        fprintf(out, "%.*s\n", (int)n, line);
        return;
    }
    key = strlen(worst[i].key);
    high = dots + 2;
    unit = high + strspn(high, " -0123456789./");
    n = (size_t)(dots - line) + strcspn(dots, ";\n");
    if (worst[i].high || strcmp(worst[i].key, "size = ") == 0)
        fprintf(out, "%.*s%.*s\n", (int)key, line,
                worst[i].high ? (int)(n - (size_t)(high - line))
                              : (int)(dots - line - (long)key),
                worst[i].high ? high : line + key);
    else
        fprintf(out, "%.*s %.*s\n", (int)(dots - line), line,
                (int)(n - (size_t)(unit - line)), unit);
}

static char *
worst_of(const char *text)
{
    char *other = NULL;
    size_t size;
    FILE *out = open_memstream(&other, &size);

    ck_assert_ptr_nonnull(out);
    while (*text) {
        const size_t n = strcspn(text, "\n");

        put_worst(text, n, out);
        text += n + (text[n] == '\n');
    }
    ck_assert_int_eq(fclose(out), 0);
    return other;
}

static fc_verdict
verdict_of(const char *text)
{
    const fc_check_options few = { .no_busy_period = true,
                                   .no_proviso = true,
                                   .threads = 1,
                                   .most_states = 1 };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_check_result *result = NULL;
    fc_site *site = NULL;
    fc_verdict works;

    ck_assert_msg(fc_site_read_text(text, strlen(text), "new", &site, messages)
                          == FC_OK
                      && fc_check_with(site, &few, &result, messages) == FC_OK,
                  "%s\n%s", fc_diagnostics_at(messages, 0).text, text);
    works = result->works;
    fc_check_result_free(result);
    fc_site_free(site);
    fc_diagnostics_free(messages);
    return works;
}

static int tried, firm;

/* One of the grid; false: these answers do not go together. */
static bool
try_answers(int number)
{
    const char *answers[COUNT(grid)];
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL, *other;
    size_t n = 0;
    fc_status status;
    int i;

    for (i = 0; i < COUNT(grid); i++) {
        const char *answer = grid[i].answers[number % grid[i].n];

        number /= grid[i].n;
        if (answer)
            answers[n++] = answer;
    }
    status = fc_starter_text(answers, n, &text, messages);
    ck_assert(status == FC_OK || status == FC_EINPUT);
    fc_diagnostics_free(messages);
    if (status != FC_OK)
        return false;
    if (verdict_of(text) == FC_WORKS) {
        other = worst_of(text);
        ck_assert_msg(!strstr(other, "..150") && verdict_of(other) == FC_WORKS,
                      "%s\n----\n%s", text, other);
        free(other);
        firm++;
    }
    fc_free(text);
    return true;
}

START_TEST(works_at_the_worst)
{
    int all = 1, i;

    for (i = 0; i < COUNT(grid); i++)
        all *= grid[i].n;
    for (i = 0; i < all; i++)
        tried += try_answers(i);
    ck_assert_int_ge(tried, 1000);
    ck_assert_int_gt(firm, 0);
}
END_TEST

/* Figures that nobody told are no ground for a firm verdict: 2 closets in each
 * of 4 stories of copper at 79 psi work, 4 of old galvanized pipe may not. */
START_TEST(not_on_assumed_facts)
{
    const char *const answers[] = { "stories=4", "pressure=79psi",
                                    "meter=none", "backflow=none" };
    char *text = NULL;

    ck_assert_int_eq(fc_starter_text(answers, 4, &text, NULL), FC_OK);
    ck_assert_ptr_nonnull(strstr(text, "count = 1..4"));
    ck_assert_ptr_nonnull(strstr(text, "c = 33..160"));
    ck_assert_int_ne(verdict_of(text), FC_WORKS);
    fc_free(text);
}
END_TEST

int
main(void)
{
    Suite *s = suite_create("starter at its worst");
    TCase *t = tcase_create("grid");

    tcase_set_timeout(t, 900);
    tcase_add_test(t, works_at_the_worst);
    tcase_add_test(t, not_on_assumed_facts);
    suite_add_tcase(s, t);
    return run_suite(s);
}
