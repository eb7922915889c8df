/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_reports.c -- the budget of a path adds up, flows
 * never grow on the way, words name what is there and hold no odd figures. */
#include "properties/properties.h"

#include <ctype.h>

#define BUILDINGS 150
#define ROUNDING 1e-6 /* Pa */

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 60 }, { .fewest = 3, .most = 60, .ranges = true }
};

/* ---- The budget ------------------------------------------------------- */

static void
adds_up(const struct building *b, const fc_path *path)
{
    double pressure = path->steps[0].pressure;
    size_t i;

    for (i = 1; i < path->n_steps; i++) {
        const fc_path_step *step = &path->steps[i];

        pressure -= step->elevation_loss + step->friction_loss
                    + step->fitting_loss + step->device_loss + step->throttled;
        HOLDS(b, fabs(pressure - step->pressure) <= ROUNDING,
              "%s, step %zu (%s): %.12g by the budget, %.12g", path->fixture,
              i, step->element, pressure, step->pressure);
    }
    HOLDS(b, fabs(pressure - path->end.flowing.nominal) <= ROUNDING,
          "%s: %.12g by the budget, %.12g flowing", path->fixture, pressure,
          path->end.flowing.nominal);
}

static void
flows_never_grow(const struct building *b, const fc_path *path)
{
    size_t i;

    for (i = 1; i < path->n_steps; i++)
        HOLDS(b, path->steps[i].flow <= path->steps[i - 1].flow * (1 + 1e-12),
              "%s: %s carries more than %s", path->fixture,
              path->steps[i].element, path->steps[i - 1].element);
}

/* Each step is fed by the one before it. */
static void
follows_the_tree(const struct building *b, const fc_path *path)
{
    const fc_fixture *fixture =
        &building_find(b, true, path->fixture)->as.fixture;
    size_t i;

    HOLDS(b, strcmp(path->steps[path->n_steps - 2].element, fixture->on) == 0,
          "%s does not hang on %s", fixture->name, fixture->on);
    HOLDS(b, strcmp(path->steps[0].element, b->parts[0].as.name) == 0,
          "%s: the path begins at %s", fixture->name, path->steps[0].element);
    for (i = 1; i + 1 < path->n_steps; i++) {
        const struct building_part *part =
            building_find(b, false, path->steps[i].element);

        HOLDS(b, strcmp(building_from(part), path->steps[i - 1].element) == 0,
              "%s is not fed by %s", path->steps[i].element,
              path->steps[i - 1].element);
    }
}

static void
check_path(const struct building *b, const struct property_check *check,
           const fc_checked_fixture *fixture, int state)
{
    fc_path *path = NULL;

    HOLDS(
        b,
        fc_path_find(check->site, fixture->name, (fc_state)state, &path, NULL)
            == FC_OK,
        "no path to %s", fixture->name);
    follows_the_tree(b, path);
    adds_up(b, path);
    flows_never_grow(b, path);
    HOLDS(b,
          path->end.flowing.nominal == fixture->states[state].flowing.nominal,
          "%s: path and check differ", fixture->name);
    fc_path_free(path);
}

/* ---- Words ------------------------------------------------------------ */

/* A word of the text: letters alone, or a figure with its sign. */
static bool
is_odd(const char *word, size_t n)
{
    static const char *const odd[] = { "nan",  "-nan",  "inf",   "-inf",
                                       "-0",   "-0.0",  "-0.00", "-0.000",
                                       "null", "(null)" };
    size_t i, k;

    for (i = 0; i < sizeof odd / sizeof *odd; i++) {
        if (strlen(odd[i]) != n)
            continue;
        for (k = 0; k < n; k++)
            if (tolower((unsigned char)word[k]) != odd[i][k])
                break;
        if (k == n)
            return true;
    }
    return false;
}

static void
plain_words(const struct building *b, const char *text)
{
    static const char blanks[] = " ,;:()%";
    const char *word = text;
    size_t n;

    HOLDS(b, *text, "an empty text");
    while (*(word += strspn(word, blanks))) {
        n = strcspn(word, blanks);
        /* a full stop may end the sentence */
        HOLDS(b,
              !is_odd(word, n)
                  && !(n > 1 && word[n - 1] == '.' && is_odd(word, n - 1)),
              "an odd figure in: %s", text);
        word += n;
    }
}

static bool
is_named(const struct building *b, const char *subject)
{
    size_t i;

    if (!*subject)
        return true;
    for (i = 0; i < b->n_parts; i++)
        if (strcmp(b->parts[i].as.name, subject) == 0)
            return true;
    return false;
}

static void
plain_findings(const struct building *b, const fc_check_result *result)
{
    size_t i;

    for (i = 0; i < result->n_findings; i++) {
        const fc_finding *f = &result->findings[i];

        plain_words(b, f->text);
        plain_words(b, f->about);
        HOLDS(b, is_named(b, f->subject), "no part is called %s", f->subject);
        HOLDS(b, i == 0 || f->severity <= result->findings[i - 1].severity,
              "findings are not in order of severity");
    }
}

static void
decided_where_unclear(const struct building *b,
                      const fc_checked_fixture *fixture, int state)
{
    const fc_fixture_state *s = &fixture->states[state];

    HOLDS(b, (s->works == FC_CANNOT_TELL) == (s->decided_by != NULL),
          "%s: decided by %s", fixture->name,
          s->decided_by ? s->decided_by : "nothing");
    if (s->decided_by)
        plain_words(b, s->decided_by);
}

START_TEST(paths_and_words)
{
    struct building b;
    struct property_check check;
    size_t i;
    int state;

    building_make(&b, 7000 + (unsigned long)_i, &plans[_i % 3 > 0]);
    check = property_check(&b);
    for (i = 0; i < check.result->n_fixtures; i++)
        for (state = 0; state < property_states(check.result); state++) {
            check_path(&b, &check, &check.result->fixtures[i], state);
            decided_where_unclear(&b, &check.result->fixtures[i], state);
        }
    plain_findings(&b, check.result);
    for (i = 0; i < check.result->n_assumptions; i++)
        plain_words(&b, check.result->assumptions[i]);
    property_check_end(&check);
    building_free(&b);
}
END_TEST

TCase *
properties_of_reports(void)
{
    TCase *test = tcase_create("reports");

    tcase_add_loop_test(test, paths_and_words, 0, BUILDINGS);
    return test;
}
