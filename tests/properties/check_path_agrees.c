/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/check_path_agrees.c -- what `path` tells of a fixture is
 * what `check` tells of it: the same verdict, figures and findings, whether
 * the others are looked at or not.
 *
 * Over generated buildings, the examples and the buildings of tests/cases,
 * every fixture in both states.
 */
#include "generators/buildings.h"
#include "generators/sites.h"

#include <dirent.h>
#include <math.h>
#include <stdlib.h>

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 30 },
    { .fewest = 3, .most = 30, .ranges = true },
    { .fewest = 3, .most = 20, .ranges = true, .weak_main = true },
    { .fewest = 20, .most = 60, .ranges = true },
    { .fewest = 2, .most = 12, .small = true },
    { .fewest = 2, .most = 12, .small = true, .busy = true },
    { .fewest = 2, .most = 12, .small = true, .busy = true, .ranges = true },
};

/* Findings of the kinds that other fixtures have a part in. */
static const struct {
    fc_finding_code code;
    int least;
} sorts[] = {
    { FC_FOUND_BUSY_PERIOD, 100 },   { FC_FOUND_AT_ONCE, 50 },
    { FC_FOUND_COLD_PRESSURE, 100 }, { FC_FOUND_STREET_MAIN, 20 },
    { FC_FOUND_PUMP, 20 },           { FC_FOUND_ALONE, 50 },
    { FC_FOUND_SPARE_PRESSURE, 20 },
};
static int seen[COUNT(sorts)], verdicts[3];

static const char *now; /* which building, and which of its fixtures */

#define SAME(condition, ...)                                                  \
    do {                                                                      \
        if (!(condition)) {                                                   \
            char text[1000];                                                  \
                                                                              \
            snprintf(text, sizeof text, __VA_ARGS__);                         \
            ck_abort_msg("%s: %s: %s", now, #condition, text);                \
        }                                                                     \
    } while (0)

/* ---- Figures ------------------------------------------------------------ */

static bool
same_text(const char *a, const char *b)
{
    return a && b ? strcmp(a, b) == 0 : a == b;
}

/* `within`: what pressures are solved to [Pa]; 0: to the bit. */
static bool
same_range(fc_range a, fc_range b, double within)
{
    return a.given == b.given
           && (!a.given
               || (fabs(a.nominal - b.nominal) <= within
                   && fabs(a.low - b.low) <= within
                   && fabs(a.high - b.high) <= within));
}

static void
same_state(const fc_fixture_state *a, const fc_fixture_state *b)
{
    SAME(a->works == b->works, "%d, %d", (int)a->works, (int)b->works);
    SAME(a->pressure == b->pressure, "%d, %d", (int)a->pressure,
         (int)b->pressure);
    SAME(a->too_high == b->too_high, "%d, %d", (int)a->too_high,
         (int)b->too_high);
    SAME(!a->excess == !b->excess, "%d", a->excess != NULL);
    if (a->excess)
        SAME(same_range(a->excess->pressure, b->excess->pressure, 0)
                 && a->excess->flowing == b->excess->flowing
                 && a->excess->maximum == b->excess->maximum,
             "%g, %g", a->excess->pressure.high, b->excess->pressure.high);
    SAME(same_text(a->valve, b->valve), "%s", a->valve ? a->valve : "none");
    SAME(same_text(a->decided_by, b->decided_by), "%s, %s",
         a->decided_by ? a->decided_by : "nothing",
         b->decided_by ? b->decided_by : "nothing");
    SAME(same_range(a->required, b->required, 0), "%g", a->required.nominal);
    SAME(same_range(a->flowing, b->flowing, 0), "%g", a->flowing.nominal);
    SAME(same_range(a->margin, b->margin, 0), "%g", a->margin.nominal);
    SAME(same_range(a->spare, b->spare, 0), "%g", a->spare.nominal);
    SAME(same_range(a->alone, b->alone, 0), "%.10g, %.10g", a->alone.nominal,
         b->alone.nominal);
}

/* ---- What is told ------------------------------------------------------- */

static bool
is_on(const fc_path *path, const char *subject)
{
    size_t i;

    for (i = 0; i < path->n_steps; i++)
        if (strcmp(path->steps[i].element, subject) == 0)
            return true;
    return false;
}

/* What a report of the path has of it: all, or the warnings of its state. */
static const fc_finding *
next_finding(const fc_check_result *result, const fc_path *path, bool warnings,
             size_t *at)
{
    while (*at < result->n_findings) {
        const fc_finding *f = &result->findings[(*at)++];

        if (is_on(path, f->subject)
            && (!warnings
                || (f->severity != FC_NOTE
                    && (!f->states || f->states & FC_IN(path->state)))))
            return f;
    }
    return NULL;
}

static void
note(const fc_finding *f)
{
    int i;

    for (i = 0; i < COUNT(sorts); i++)
        seen[i] += f->code == sorts[i].code;
}

static void
same_findings(const fc_check_result *check, const fc_path *path, bool warnings)
{
    const fc_finding *a, *b;
    size_t i = 0, k = 0;

    do {
        a = next_finding(check, path, warnings, &i);
        b = next_finding(path->check, path, warnings, &k);
        SAME(a && b ? strcmp(a->text, b->text) == 0 : a == b, "\n%s\n%s",
             a ? a->text : "nothing", b ? b->text : "nothing");
        if (a) {
            SAME(strcmp(a->subject, b->subject) == 0 && a->states == b->states
                     && a->severity == b->severity,
                 "%s, %s", a->subject, b->subject);
            note(a);
        }
    } while (a);
}

/* What an assumption is worth is told of another fixture: of the one that the
 * report is of. */
static size_t
worth_of(const char *assumption)
{
    const char *worth = strstr(assumption, "; worth ");

    if (!worth)
        worth = strstr(assumption, "; no difference at ");
    return worth ? (size_t)(worth - assumption) : strlen(assumption);
}

static void
same_assumptions(const fc_check_result *a, const fc_check_result *b)
{
    size_t i;

    for (i = 0; i < a->n_assumptions && i < b->n_assumptions; i++) {
        const char *x = a->assumptions[i], *y = b->assumptions[i];

        SAME(worth_of(x) == worth_of(y) && memcmp(x, y, worth_of(x)) == 0,
             "\n%s\n%s", x, y);
    }
    for (i = 0; i < a->n_overrides && i < b->n_overrides; i++)
        SAME(strcmp(a->overrides[i].text, b->overrides[i].text) == 0, "%s, %s",
             a->overrides[i].text, b->overrides[i].text);
    SAME(a->n_overrides == b->n_overrides, "%zu, %zu", a->n_overrides,
         b->n_overrides);
}

/* ---- A fixture ---------------------------------------------------------- */

struct checked {
    const fc_site *site;
    fc_check_result *whole, *brief; /* as reports in full and in short have */
};

static void
agrees_in_short(const struct checked *c, size_t fixture, fc_state state)
{
    const fc_check_options options = { .in_short = true, .rough = true };
    const fc_checked_fixture *checked = &c->brief->fixtures[fixture];
    fc_path *path = NULL;

    ck_assert_int_eq(fc_path_find_with(c->site, checked->name, state, &options,
                                       &path, NULL),
                     FC_OK);
    same_state(&checked->states[state], &path->end);
    same_findings(c->brief, path, true);
    fc_path_free(path);
}

static void
agrees(const struct checked *c, size_t fixture, fc_state state)
{
    const fc_checked_fixture *checked = &c->whole->fixtures[fixture];
    const bool flushes = checked->states[state].valve != NULL;
    fc_path *path = NULL, *verdict = NULL;
    const fc_checked_fixture *one;
    int s;

    ck_assert_int_eq(
        fc_path_find_with(c->site, checked->name, state, NULL, &path, NULL),
        FC_OK);
    one = path->check->fixtures;
    ck_assert_uint_eq(path->check->n_fixtures, 1);
    ck_assert_str_eq(one->name, checked->name);
    for (s = 0; s < (c->whole->converted ? FC_STATES : 1); s++) {
        same_state(&checked->states[s], &one->states[s]);
        if (!checked->states[s].valve)
            SAME(same_range(checked->states[s].shared, one->states[s].shared,
                            0.2),
                 "%g, %g", checked->states[s].shared.low,
                 one->states[s].shared.low);
    }
    same_state(&checked->states[state], &path->end);
    verdicts[path->end.works]++;
    SAME(one->change == checked->change, "%d, %d", (int)one->change,
         (int)checked->change);
    same_findings(c->whole, path, false);
    same_assumptions(c->whole, path->check);
    if (flushes)
        SAME(path->check->n_assumptions == c->whole->n_assumptions,
             "%zu, %zu assumptions", path->check->n_assumptions,
             c->whole->n_assumptions);
    ck_assert_int_eq(
        fc_path_find(c->site, checked->name, state, &verdict, NULL), FC_OK);
    same_state(&checked->states[state], &verdict->end);
    ck_assert_ptr_null(verdict->check);
    ck_assert_uint_eq(verdict->n_contradictions, c->whole->n_contradictions);
    ck_assert(same_text(verdict->proviso.text, path->proviso.text));
    fc_path_free(verdict);
    fc_path_free(path);
}

/* Every fixture, both states.  A building that is not checked has no path. */
static void
agrees_everywhere(const fc_site *site, const char *name)
{
    const fc_check_options rough = { .rough = true, .one_ladder = true };
    struct checked c = { .site = site };
    char text[200];
    size_t i;
    int state;

    if (fc_check(site, &c.whole, NULL) != FC_OK)
        return;
    ck_assert_int_eq(fc_check_with(site, &rough, &c.brief, NULL), FC_OK);
    now = text;
    for (i = 0; i < c.whole->n_fixtures; i++)
        for (state = 0; state < (c.whole->converted ? FC_STATES : 1);
             state++) {
            snprintf(text, sizeof text, "%s, %s, state %d", name,
                     c.whole->fixtures[i].name, state);
            agrees(&c, i, (fc_state)state);
            agrees_in_short(&c, i, (fc_state)state);
        }
    fc_check_result_free(c.whole);
    fc_check_result_free(c.brief);
}

/* ---- Buildings ---------------------------------------------------------- */

START_TEST(of_generated_buildings)
{
    const unsigned long seed = 88000 + (unsigned long)_i;
    fc_site *site = building_made(seed, &plans[_i % COUNT(plans)]);
    char name[40];

    snprintf(name, sizeof name, "building %lu", seed);
    agrees_everywhere(site, name);
    fc_site_free(site);
}
END_TEST

/* The site files of a folder of the source. */
static int
agree_in(const char *folder)
{
    const char *srcdir = getenv("srcdir");
    char path[4096];
    const struct dirent *entry;
    DIR *open;
    int n = 0;

    snprintf(path, sizeof path, "%s/%s", srcdir ? srcdir : ".", folder);
    open = opendir(path);
    ck_assert_msg(open != NULL, "%s cannot be read", path);
    while ((entry = readdir(open)) != NULL) {
        const char *dot = strrchr(entry->d_name, '.');
        char file[8192];
        fc_site *site = NULL;

        if (!dot || strcmp(dot, ".ini") != 0)
            continue;
        snprintf(file, sizeof file, "%s/%s", path, entry->d_name);
        ck_assert_int_eq(fc_site_read(file, &site, NULL), FC_OK);
        agrees_everywhere(site, entry->d_name);
        fc_site_free(site);
        n++;
    }
    closedir(open);
    return n;
}

START_TEST(of_site_files)
{
    ck_assert_int_gt(agree_in("examples"), 4);
    ck_assert_int_gt(agree_in("tests/cases"), 10);
}
END_TEST

START_TEST(all_sorts_were_seen)
{
    int i;

    for (i = 0; i < COUNT(sorts); i++)
        ck_assert_msg(seen[i] >= sorts[i].least, "%s: %d",
                      fc_finding_about(sorts[i].code), seen[i]);
    for (i = 0; i < COUNT(verdicts); i++)
        ck_assert_int_ge(verdicts[i], 100);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("path agrees with check");
    TCase *t = tcase_create("path");

    tcase_set_timeout(t, 1200);
    tcase_add_loop_test(t, of_generated_buildings, 0,
                        usual(8, 20) * COUNT(plans));
    tcase_add_test(t, of_site_files);
    tcase_add_test(t, all_sorts_were_seen);
    suite_add_tcase(suite, t);
    return run_suite_unforked(suite);
}
