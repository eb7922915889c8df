/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/sites_two_states.c -- a conversion that changes no more than how
 * much a flush takes has its events worked out once for both states.
 *
 * After it the building must be what the one is that has had the new valves
 * all along, where nothing is shared: also where the valves differ by a hair
 * in what they draw, and where both buildings stand among many.
 */
#include "flushcalc.h"
#include "unit/report_data.h"
#include "unit/sites_suite.h"
#include "unit/suite.h"

#include <stdio.h>
#include <string.h>

static const fc_check_options few = { .threads = 1,
                                      .most_states = 512,
                                      .seed = 5 };

/* The same but for the flush at first; then each figure of the flow by
 * itself, by little. */
static const char *const valves[] = {
    "flow = 25 gpm at 35 psi\nminimum flowing = 25 psi\nfull flush = 3.5 "
    "gal\n",
    "flow = 25 gpm at 35 psi\nminimum flowing = 25 psi\n"
    "full flush = 1.28 gal\n",
    "flow = 25 gpm at 35 psi\nminimum flowing = 25 psi\n"
    "full flush = 1.6 gal\nreduced flush = 1.1 gal\nclosing time = 3 s\n",
    "flow = 25.01 gpm at 35 psi\nminimum flowing = 25 psi\n"
    "full flush = 1.28 gal\n",
    "flow = 25 gpm at 35.1 psi\nminimum flowing = 25 psi\n"
    "full flush = 1.28 gal\n",
    "flow = 25 gpm at 35 psi\nminimum flowing = 26 psi\n"
    "full flush = 1.28 gal\n",
    "flow = 24..26 gpm at 35 psi\nminimum flowing = 25 psi\n"
    "full flush = 1.28 gal\n",
    "flow = 25 gpm at 35 psi\nminimum flowing = 25 psi\nregulated = yes\n"
    "full flush = 1.28 gal\n",
};
#define VALVES (sizeof valves / sizeof *valves)
#define SUPPLIES 3
static const char *const supplies[SUPPLIES] = {
    "static = 52 psi\nresidual = 44 psi\n",
    "static = 60..66 psi\nresidual = 50 psi\n",
    "static = 76 psi\nresidual = 70 psi\n",
};

/* Invented: three floors of two closets and a urinal; NULL: no conversion. */
static char *
building(const char *supply, const char *before, const char *after)
{
    static const char parts[] =
        "[pipe riser-1]\nfrom = main\nsize = 2 in\nlength = 30 ft\n"
        "fittings = none\n"
        "[pipe riser-{floor}]\nfloors = 2, 3\nfrom = riser-{floor-1}\n"
        "size = 1-1/2 in\nlength = 12 ft\nrise = 11..12 ft\nfittings = none\n"
        "[fixture urinal-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
        "kind = urinal, flush valve\nsupply size = 3/4 in\n"
        "[fixture wc-{floor}]\nfloors = 1..3\non = riser-{floor}\n"
        "kind = water closet, flush valve\nsupply size = 1 in\ncount = 2\n"
        "existing = before\n";
    char *text = NULL;
    size_t size = 0;
    FILE *out = open_memstream(&text, &size);

    ck_assert_ptr_nonnull(out);
    fprintf(out,
            "[site]\nmaterial = copper L\ncondition = new\n[source main]\n"
            "kind = street main\n%sresidual flow = 300 gpm\n"
            "[valve before]\n%s",
            supply, before);
    if (after)
        fprintf(out, "[valve after]\n%s", after);
    fprintf(out, "%s%s", parts, after ? "retrofit = after\n" : "");
    ck_assert_int_eq(fclose(out), 0);
    return text;
}

/* Of each fixture and of the whole: the state, the valve's name aside. */
static json_t *
state_of(const char *text, bool in_short, const char *state)
{
    static const char *const own[] = { "valve", NULL };
    fc_check_options options = few;
    fc_status status;
    json_t *data, *fixture, *states = json_array();
    size_t i;

    options.in_short = in_short;
    data = checked_data(text, "test.ini", NULL, 0, &options, &status);
    ck_assert_int_eq(status, FC_OK);
    json_array_foreach(json_object_get(data, "fixtures"), i, fixture)
    {
        json_t *in = json_object_get(fixture, state);

        if (json_is_null(in))
            in = json_object_get(fixture, "existing");
        drop_keys(in, own);
        json_array_append(states, in);
    }
    json_array_append(states, json_object_get(data, state));
    json_decref(data);
    return states;
}

START_TEST(as_if_it_had_been_so)
{
    const char *supply = supplies[_i % SUPPLIES];
    const bool in_short = _i >= SUPPLIES;

    for (size_t a = 0; a < VALVES; a++) {
        char *always = building(supply, valves[a], NULL);
        json_t *one = state_of(always, in_short, "existing");

        for (size_t b = 0; b < VALVES; b++) {
            char *converted = building(supply, valves[b], valves[a]);
            json_t *other = state_of(converted, in_short, "retrofit");

            same_data(other, one, valves[b], converted);
            json_decref(other);
            free(converted);
        }
        json_decref(one);
        free(always);
    }
}
END_TEST

#define MANY (VALVES * VALVES)

static void
same_ranges(fc_range a, fc_range b)
{
    ck_assert_double_eq(a.nominal, b.nominal);
    ck_assert_double_eq(a.low, b.low);
    ck_assert_double_eq(a.high, b.high);
}

static void
same_lines(const fc_site_line *a, const fc_site_line *b)
{
    ck_assert_int_eq(a->works, b->works);
    ck_assert_int_eq(a->too_high, b->too_high);
    ck_assert_str_eq(a->reason, b->reason);
    ck_assert_uint_eq(a->n_warnings, b->n_warnings);
    for (int s = 0; s < FC_STATES; s++) {
        const fc_site_state *x = &a->states[s], *y = &b->states[s];

        ck_assert_int_eq(x->works, y->works);
        ck_assert_uint_eq(x->working, y->working);
        ck_assert_uint_eq(x->failing, y->failing);
        ck_assert_uint_eq(x->unclear, y->unclear);
        ck_assert_str_eq(x->governing, y->governing);
        ck_assert_int_eq(x->at_once, y->at_once);
        ck_assert_int_eq(x->at_once_worst, y->at_once_worst);
        same_ranges(x->margin, y->margin);
    }
}

/* Sites that differ in nothing but their valves, checked in one go by several
 * threads, each of which keeps its memory from site to site. */
START_TEST(among_many)
{
    fc_sites_options options = { .check = few };
    fc_site_file files[MANY];
    fc_checked_sites *all = NULL;

    for (size_t i = 0; i < MANY; i++) {
        char *text = building(supplies[i % SUPPLIES], valves[i % VALVES],
                              valves[i / VALVES]);

        files[i] = (fc_site_file){ .path = "test.ini",
                                   .text = text,
                                   .length = strlen(text) };
    }
    options.check.threads = (unsigned)_i;
    ck_assert_int_eq(fc_check_sites(files, MANY, &options, &all), FC_OK);
    ck_assert_uint_eq(all->n_lines, MANY);
    ck_assert_uint_eq(all->n_broken, 0);
    options.check.threads = 1;
    for (size_t i = 0; i < MANY; i++) {
        fc_checked_sites *alone = NULL;

        ck_assert_int_eq(
            fc_check_sites(&files[all->lines[i].place], 1, &options, &alone),
            FC_OK);
        same_lines(&all->lines[i], &alone->lines[0]);
        fc_checked_sites_free(alone);
    }
    fc_checked_sites_free(all);
    for (size_t i = 0; i < MANY; i++)
        free((char *)files[i].text);
}
END_TEST

TCase *
sites_two_states(void)
{
    TCase *t = tcase_create("two states");

    tcase_set_timeout(t, 120);
    tcase_add_loop_test(t, as_if_it_had_been_so, 0, 2 * SUPPLIES);
    tcase_add_loop_test(t, among_many, 1, 4);
    return t;
}
