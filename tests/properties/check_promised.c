/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_promised.c -- each number of valves that a check
 * promises is held against flushes that are sought to break it.
 *
 * Of every example, in both states, each flush valve is asked how many may be
 * open, itself among them and whichever the others are.  A set of just so many
 * is sought that leaves it least, from the set that the check says starves it
 * on: one of them is closed and another opened as long as that takes pressure
 * away.  Whatever set that ends at, fc_flush() leaves the valve its minimum;
 * and the set that starves it does.
 */
#include "flushcalc.h"
#include "generators/draws.h"
#include "unit/suite.h"

#include <glob.h>
#include <stdio.h>
#include <string.h>

#define MOST_VALVES 400 /* fixtures with flush valves */
#define TRIALS 24       /* exchanges that are tried for each valve */
#define ASKED 12        /* valves of a state of a building */

static glob_t files;

struct building {
    const char *path;
    fc_site *site;
    fc_check_result *result;
    fc_state state;
    /* Those with a flush valve, and how many of each are open. */
    const fc_checked_fixture *valves[MOST_VALVES];
    int open[MOST_VALVES];
    size_t n;
    unsigned long long drawn;
};

/* ---- Flushes ------------------------------------------------------------ */

static const fc_fixture_state *
state_of(const struct building *b, size_t i)
{
    return &b->valves[i]->states[b->state];
}

static fc_flush_result *
flushed(const struct building *b)
{
    fc_flushing set[MOST_VALVES];
    fc_flush_result *result = NULL;
    size_t n = 0;

    for (size_t i = 0; i < b->n; i++)
        if (b->open[i] > 0)
            set[n++] = (fc_flushing){ b->open[i], b->valves[i]->name };
    ck_assert_int_eq(fc_flush(b->site, b->state, set, n, &result, NULL),
                     FC_OK);
    return result;
}

static const fc_flush_fixture *
row_of(const fc_flush_result *result, const char *name)
{
    for (size_t i = 0; i < result->n_fixtures; i++)
        if (strcmp(result->fixtures[i].name, name) == 0)
            return &result->fixtures[i];
    ck_abort_msg("no row of %s", name);
    return NULL;
}

/* What the valve has above its own minimum, at its worst or nominal [Pa];
 * of one alone the code's least may be asked beside. */
static double
spare_of(const struct building *b, size_t valve, bool worst)
{
    fc_flush_result *result = flushed(b);
    const fc_flush_fixture *row = row_of(result, b->valves[valve]->name);
    const double spare = worst ? row->pressure.low - row->minimum.high
                               : row->pressure.nominal - row->minimum.nominal;

    fc_flush_result_free(result);
    return spare;
}

/* ---- Sets --------------------------------------------------------------- */

static size_t
place_of(const struct building *b, const char *name)
{
    size_t i = 0;

    while (i < b->n && strcmp(b->valves[i]->name, name) != 0)
        i++;
    ck_assert_uint_lt(i, b->n);
    return i;
}

/* Of the set that starves it, as many as asked; others where it has fewer. */
static void
begin_with(struct building *b, size_t valve, int many)
{
    const fc_ladder *ladder = &state_of(b, valve)->ladder;
    int left = many - 1;

    memset(b->open, 0, sizeof b->open);
    b->open[valve] = 1;
    for (size_t i = 0; i < ladder->n_first && left > 0; i++) {
        const size_t at = place_of(b, ladder->first[i].fixture);
        const int more = ladder->first[i].count - (at == valve);

        b->open[at] += more < left ? more : left;
        left -= more < left ? more : left;
    }
    for (size_t i = 0; i < b->n && left > 0; i++) {
        const size_t at = (valve + i) % b->n;
        const int room = b->valves[at]->count_least - b->open[at];

        b->open[at] += room < left ? room : left;
        left -= room < left ? room : left;
    }
}

/* One closed, the valve itself not, and another opened; false: none drawn. */
static bool
exchange(struct building *b, size_t valve, size_t *from, size_t *to)
{
    *from = (size_t)draw(&b->drawn, 0, (double)b->n);
    *to = (size_t)draw(&b->drawn, 0, (double)b->n);
    if (*from == *to || b->open[*from] <= (*from == valve)
        || b->open[*to] >= b->valves[*to]->count)
        return false;
    b->open[*from]--;
    b->open[*to]++;
    return true;
}

/* The least that was found with so many, to what is left of its minimum. */
static double
least_of(struct building *b, size_t valve, int many, bool worst)
{
    double least;

    begin_with(b, valve, many);
    least = spare_of(b, valve, worst);
    for (int k = 0; k < TRIALS; k++) {
        size_t from, to;
        double spare;

        if (!exchange(b, valve, &from, &to))
            continue;
        spare = spare_of(b, valve, worst);
        if (spare < least) {
            least = spare;
            continue;
        }
        b->open[from]++;
        b->open[to]--;
    }
    return least;
}

/* ---- What is promised --------------------------------------------------- */

static void
promised(struct building *b, size_t valve, int many, bool worst)
{
    const double least = many > 0 ? least_of(b, valve, many, worst) : 0;

    ck_assert_msg(least >= 0,
                  "%s, %s: %d at once are promised%s, but some leave %s "
                  "%.1f Pa less than its minimum",
                  b->path, b->state == FC_EXISTING ? "existing" : "retrofit",
                  many, worst ? " at the worst" : "", b->valves[valve]->name,
                  -least);
}

/* The set that is said to starve it does. */
static void
starved(struct building *b, size_t valve)
{
    const fc_ladder *ladder = &state_of(b, valve)->ladder;

    if (ladder->all || ladder->n_first == 0)
        return;
    begin_with(b, valve, ladder->could + 1);
    ck_assert_msg(spare_of(b, valve, false) < 0, "%s: %d do not starve %s",
                  b->path, ladder->could + 1, b->valves[valve]->name);
}

/* The number of the building, by all that a flush is judged by. */
static void
all_have_enough(struct building *b)
{
    const fc_at_once *n = b->result->states[b->state].at_once;

    for (size_t i = 0; n && n->low > 0 && i < b->n; i += 1 + b->n / ASKED) {
        fc_flush_result *result;

        (void)least_of(b, i, n->low, true);
        result = flushed(b);
        ck_assert_msg(result->enough == FC_WORKS,
                      "%s: %d at once are promised, of %s not", b->path,
                      n->low, b->valves[i]->name);
        fc_flush_result_free(result);
    }
}

static void
hold(struct building *b, size_t first)
{
    b->n = 0;
    for (size_t i = 0; i < b->result->n_fixtures; i++)
        if (b->result->fixtures[i].states[b->state].ladder.given)
            b->valves[b->n++] = &b->result->fixtures[i];
    ck_assert_uint_lt(b->n, MOST_VALVES);
    for (size_t i = first; i < b->n; i += 1 + b->n / ASKED) {
        const fc_ladder *ladder = &state_of(b, i)->ladder;

        promised(b, i, ladder->most, false);
        promised(b, i, ladder->low, true);
        starved(b, i);
    }
    all_have_enough(b);
}

START_TEST(flushes_bear_it_out)
{
    struct building b = { .path = files.gl_pathv[_i],
                          .drawn = 0x9a5 + (unsigned)_i };

    ck_assert_int_eq(fc_site_read(b.path, &b.site, NULL), FC_OK);
    if (fc_check(b.site, &b.result, NULL) == FC_OK)
        for (int state = 0; state <= b.result->converted; state++) {
            b.state = (fc_state)state;
            hold(&b, 0);
        }
    fc_check_result_free(b.result);
    fc_site_free(b.site);
}
END_TEST

static int
find_files(const char *folder, int flags)
{
    const char *srcdir = getenv("srcdir");
    char pattern[1024];

    snprintf(pattern, sizeof pattern, "%s/%s/*.ini", srcdir ? srcdir : ".",
             folder);
    glob(pattern, flags, NULL, &files);
    return (int)files.gl_pathc;
}

START_TEST(there_are_files)
{
    ck_assert_uint_gt(files.gl_pathc, 20);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("promised");
    TCase *tcase = tcase_create("promised");
    int n = find_files("examples", 0), status;

    n = find_files("tests/cases", GLOB_APPEND);
    tcase_set_timeout(tcase, 300);
    tcase_add_test(tcase, there_are_files);
    tcase_add_loop_test(tcase, flushes_bear_it_out, 0, n);
    suite_add_tcase(suite, tcase);
    status = run_suite(suite);
    globfree(&files);
    return status;
}
