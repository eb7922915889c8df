/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_starter.c -- a first site file from a few answers.
 *
 * Over many sets of answers the file reads and is checked as it is, and has
 * the building that was told: its fixtures, its elevations, the sizes given,
 * and where none is given one that keeps to its velocity limit.  What is
 * expected is added up here from the answers.
 */
#include "flushcalc.h"
#include "site/site.h"
#include "unit/suite.h"
#include "unit/us_units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define COUNT(list) (sizeof(list) / sizeof *(list))
#define MOST 24
#define PI 3.14159265358979

/* ---- Sets of answers --------------------------------------------------- */

/* A value of one key, with what it comes to; NULL: the key is left out. */
struct value {
    const char *text;
    double low, high;
};

static const struct value stories[] = {
    { "1", 1, 1 }, { "2", 2, 2 }, { "3", 3, 3 },
    { "5", 5, 5 }, { "8", 8, 8 }, { "12", 12, 12 },
};
/* [usual story] of tables/starter.ini: 10 to 14 ft */
static const struct value floors[] = {
    { NULL, 10 * FOOT, 14 * FOOT },
    { "12ft", 12 * FOOT, 12 * FOOT },
    { "11..13 ft", 11 * FOOT, 13 * FOOT },
    { "3.6 m", 3.6, 3.6 },
    { "10 ft 6 in", 10.5 * FOOT, 10.5 * FOOT },
};
static const struct value batteries[] = {
    { NULL, 1, 1 },
    { "1", 1, 1 },
    { "2", 2, 2 },
    { "3", 3, 3 },
};
static const struct value closets[] = {
    { NULL, 2, 2 },
    { "1", 1, 1 },
    { "5", 5, 5 },
    { "6", 6, 6 },
};
static const struct value urinals[] = {
    { NULL, 0, 0 },
    { "0", 0, 0 },
    { "1", 1, 1 },
    { "4", 4, 4 },
};
static const struct value lavatories[] = {
    { NULL, 0, 0 },
    { "0", 0, 0 },
    { "3", 3, 3 },
    { "4", 4, 4 },
};
/* [usual first floor]: 0 to 10 ft */
static const struct value first_floors[] = {
    { NULL, 0, 10 * FOOT },
    { "3 ft", 3 * FOOT, 3 * FOOT },
    { "-2..1 ft", -2 * FOOT, 1 * FOOT },
    { "1.2 m", 1.2, 1.2 },
};
static const struct value existing[] = {
    { NULL, 0, 0 },
    { "siphonic closet 3.5 gal", 0, 0 },
    { "blowout closet 3.5 gal", 0, 0 },
};
static const struct value retrofit[] = {
    { NULL, 0, 0 },
    { "siphonic closet 1.28 gal", 0, 0 },
    { "siphonic closet dual 1.6/1.1 gal", 0, 0 },
};
static const struct value meters[] = {
    { NULL, 0, 0 },
    { "none", 0, 0 },
    { "2 in", 0, 0 },
    { "4 in", 0, 0 },
    { "3 in turbine class II", 0, 0 },
};
static const struct value preventers[] = {
    { NULL, 0, 0 },  { "none", 0, 0 },         { "rp", 0, 0 },
    { "RPZ", 0, 0 }, { "double check", 0, 0 },
};
static const struct value materials[] = {
    { NULL, 0, 0 },
    { "copper L", 0, 0 },
    { "steel sch 40", 0, 0 },
    { "ductile iron class 350", 0, 0 },
};
static const struct value sizes[] = {
    { NULL, 0, 0 },
    { NULL, 0, 0 },
    { "3 in", 3 * INCH, 3 * INCH },
    { "3 in .. 4 in", 3 * INCH, 4 * INCH },
};
static const struct value codes[] = {
    { NULL, 0, 0 },
    { "ipc", 0, 0 },
    { "upc", 0, 0 },
};
static const struct value units[] = {
    { NULL, 0, 0 },
    { "us", 0, 0 },
    { "si", 0, 0 },
};

/* Keys that go together. */
static const char *const supplies[][2] = {
    { NULL, NULL },
    { "main=60psi", NULL },
    { "main=55..65 psi", "flow-test=50 psi at 500 gpm" },
    { "main=5 bar", "flow-test=60 psi at 200 gpm, 50 psi at 420 gpm" },
    { "pressure=80 psi", NULL },
    { "tank=190 ft", NULL },
    { "tank=18 m", NULL },
    { "tank=120.4..125 ft", NULL },
};
enum zoning {
    NO_ZONES,
    ALL_BOOSTED,
    UPPER_BOOSTED,
    LOWER_PRV,
    TWO_PRVS,
    BOTH_ZONES,
    EACH_FLOOR,
    ZONINGS
};

struct set {
    char texts[MOST][120];
    const char *answers[MOST];
    size_t n;
    unsigned long long draw; /* of a generator: x -> a x + c, modulo 2^64 */
    const struct value *stories, *floor, *batteries, *closets, *urinals,
        *lavatories, *first_floor, *riser;
    bool tank;
};

static size_t
below(struct set *set, size_t n)
{
    set->draw = set->draw * 6364136223846793005u + 1442695040888963407u;
    return (size_t)((set->draw >> 33) % n);
}

static void
add(struct set *set, const char *text)
{
    if (!text)
        return;
    ck_assert_uint_lt(set->n, MOST);
    snprintf(set->texts[set->n], sizeof set->texts[0], "%s", text);
    set->answers[set->n] = set->texts[set->n];
    set->n++;
}

static const struct value *
some(struct set *set, const char *key, const struct value *values, size_t n)
{
    const struct value *value = &values[below(set, n)];
    char text[120];

    if (value->text) {
        snprintf(text, sizeof text, "%s=%s", key, value->text);
        add(set, text);
    }
    return value;
}
#define SOME(set, key, values) some((set), (key), (values), COUNT(values))

static void
add_zones(struct set *set)
{
    const int n = (int)set->stories->low, half = n / 2;
    const enum zoning zoning =
        n < 2 ? NO_ZONES : (enum zoning)below(set, ZONINGS);
    char text[120] = "";

    if (zoning == ALL_BOOSTED)
        add(set, "booster=110 psi");
    if (zoning == UPPER_BOOSTED || zoning == BOTH_ZONES) {
        snprintf(text, sizeof text, "booster=%d..%d: 95..105 psi", half + 1,
                 n);
        add(set, text);
    }
    if (zoning == LOWER_PRV || zoning == BOTH_ZONES)
        snprintf(text, sizeof text, "prv-zones=1..%d:60psi", half);
    if (zoning == TWO_PRVS)
        snprintf(text, sizeof text, "prv-zones=1..%d: 55 psi, %d..%d: 4 bar",
                 half, half + 1, n);
    if (zoning == EACH_FLOOR) /* on floors that are not next to each other */
        snprintf(text, sizeof text, "prv-zones=%d: 55 psi, 1: 50..55 psi", n);
    if (strncmp(text, "prv", 3) == 0)
        add(set, text);
}

/* The valves of urinals go with them. */
static void
draw_set(struct set *set, unsigned number)
{
    const char *metric, *material;
    size_t supply;

    memset(set, 0, sizeof *set);
    set->draw = number;
    below(set, 2);
    set->stories = SOME(set, "stories", stories);
    set->floor = SOME(set, "floor", floors);
    set->batteries = SOME(set, "batteries", batteries);
    set->closets = SOME(set, "closets", closets);
    set->urinals = SOME(set, "urinals", urinals);
    set->lavatories = SOME(set, "lavatories", lavatories);
    supply = below(set, COUNT(supplies));
    add(set, supplies[supply][0]);
    add(set, supplies[supply][1]);
    set->tank = supply >= 5;
    if (!set->tank)
        set->first_floor = SOME(set, "first-floor", first_floors);
    SOME(set, "existing", existing);
    SOME(set, "retrofit", retrofit);
    SOME(set, "meter", meters);
    SOME(set, "backflow", preventers);
    SOME(set, "code", codes);
    metric = SOME(set, "units", units)->text;
    material = SOME(set, "material", materials)->text;
    set->riser = &sizes[0];
    if (material || !metric || strcmp(metric, "si") != 0) /* in inches */
        set->riser = SOME(set, "riser", sizes);
    add_zones(set);
}

/* ---- What a file must be ----------------------------------------------- */

static char *
text_of(const struct set *set)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;
    const fc_status status =
        fc_starter_text(set->answers, set->n, &text, messages);

    if (status != FC_OK) {
        for (size_t i = 0; i < set->n; i++)
            fprintf(stderr, "'%s' ", set->answers[i]);
        ck_abort_msg("%s", fc_diagnostics_at(messages, 0).text);
    }
    fc_diagnostics_free(messages);
    return text;
}

static fc_site *
site_of(const struct set *set, const char *text)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;

    (void)set;
    ck_assert_msg(
        fc_site_read_text(text, strlen(text), "new.ini", &site, messages)
            == FC_OK,
        "%s\n%s", fc_diagnostics_at(messages, 0).text, text);
    fc_diagnostics_free(messages);
    return site;
}

/* Lines fit a screen, but for the title; what is assumed stands in that. */
static void
expect_lines(const char *text)
{
    const char *line = text;

    while (*line) {
        const size_t n = strcspn(line, "\n");

        if (strncmp(line, "title = ", 8) == 0) {
            char title[400];

            snprintf(title, sizeof title, "%.*s", (int)n, line);
            ck_assert_ptr_nonnull(strstr(title, "(assumed: lengths"));
        } else {
            ck_assert_msg(n <= 79, "%.*s", (int)n, line);
        }
        line += n + 1;
    }
}

static void
expect_fixtures(const struct set *set, const fc_site *site, const char *text)
{
    const double a_floor =
        (set->closets->text ? set->closets->low : 4 * set->batteries->low)
        + set->urinals->low + set->lavatories->low;
    double n = 0;

    for (size_t i = 0; i < site->n_fixtures; i++)
        n += site->fixtures[i].count;
    ck_assert_msg(n == a_floor * set->stories->low, "%g fixtures\n%s", n,
                  text);
}

/* Over the source's zero: the source, and every rise on the way. */
static fc_range
elevation_of(const fc_site *site, size_t element)
{
    fc_range sum = fc_exactly(0);
    const fc_source *source;

    for (; site->elements[element].parent != FCI_NONE;
         element = site->elements[element].parent) {
        const fc_range rise = site->elements[element].rise;

        sum = fc_between(sum.low + rise.low, sum.high + rise.high);
    }
    source = site->elements[element].part->data;
    return fc_between(sum.low + source->elevation.low,
                      sum.high + source->elevation.high);
}

/* The valves stand 1 to 3 ft over their floor ([usual valve height]).  Each
 * height is written to the hundredth of a foot or a meter. */
static void
expect_elevations(const struct set *set, const fc_site *site, const char *text)
{
    const double within = 0.005 * (set->stories->low + 1);
    const double first_low = set->tank ? 0 : set->first_floor->low;
    const double first_high = set->tank ? 0 : set->first_floor->high;

    for (size_t i = 0; i < site->n_fixtures; i++) {
        const char *name = site->fixtures[i].given->name;
        const double up = atof(strrchr(name, '-') + 1) - 1;
        const fc_range got = elevation_of(site, site->fixtures[i].element);
        const double low = first_low + 1 * FOOT + up * set->floor->low;
        const double high = first_high + 3 * FOOT + up * set->floor->high;

        /* from the top down what the floors differ by adds up the other
         * way */
        if (set->tank) {
            ck_assert_msg(got.low <= low + within && got.high >= high - within,
                          "%s\n%s", name, text);
            continue;
        }
        ck_assert_msg(fabs(got.low - low) <= within
                          && fabs(got.high - high) <= within,
                      "%s: %.3f to %.3f m, %.3f to %.3f expected\n%s", name,
                      got.low, got.high, low, high, text);
    }
}

/* A size that was given stands; one that was not keeps to its limit in pipe
 * that no scale has narrowed. */
static void
expect_sizes(const struct set *set, const fc_site *site,
             const fc_check_result *result, const char *text)
{
    for (size_t i = 0; i < result->n_pipes; i++) {
        const fc_checked_pipe *pipe = &result->pipes[i];
        const size_t at = fci_site_find_index(site, FCI_PIPE, pipe->name);
        const fc_pipe *given = site->parts[at].data;
        const struct fci_size *size;

        if (strncmp(pipe->name, "riser", 5) == 0 && set->riser->text) {
            ck_assert_double_eq_tol(given->size.low, set->riser->low, 1e-9);
            ck_assert_double_eq_tol(given->size.high, set->riser->high, 1e-9);
            continue;
        }
        size = fci_material_size(
            fci_tables_material(site->tables, pipe->material),
            given->size.low);
        for (int s = 0; s < FC_STATES; s++)
            ck_assert_msg(pipe->states[s].peak_flow.high
                                  / (PI / 4 * size->bore * size->bore)
                              <= pipe->velocity_limit * (1 + 1e-9),
                          "%s: %g m3/s\n%s", pipe->name,
                          pipe->states[s].peak_flow.high, text);
    }
}

#define SETS 100 /* of each loop */
#define LOOPS usual(5, 12)
static size_t verdicts[4];

START_TEST(every_set_is_checked)
{
    const fc_check_options few = { .no_busy_period = true,
                                   .no_proviso = true,
                                   .threads = 1,
                                   .most_states = 1 };

    for (unsigned k = 0; k < SETS; k++) {
        fc_diagnostics *messages = fc_diagnostics_new();
        fc_check_result *result = NULL;
        struct set set;
        fc_site *site;
        char *text;

        draw_set(&set, (unsigned)_i * SETS + k + 1);
        text = text_of(&set);
        site = site_of(&set, text);
        expect_lines(text);
        expect_fixtures(&set, site, text);
        expect_elevations(&set, site, text);
        ck_assert_msg(fc_check_with(site, &few, &result, messages) == FC_OK,
                      "%s\n%s", fc_diagnostics_at(messages, 0).text, text);
        expect_sizes(&set, site, result, text);
        verdicts[result->works]++;
        fc_check_result_free(result);
        fc_site_free(site);
        fc_free(text);
        fc_diagnostics_free(messages);
    }
}
END_TEST

START_TEST(verdicts_of_all_kinds_were_met)
{
    ck_assert_uint_eq(verdicts[FC_WORKS] + verdicts[FC_WILL_NOT_WORK]
                          + verdicts[FC_CANNOT_TELL],
                      (size_t)(SETS * sample(LOOPS)));
    ck_assert_uint_gt(verdicts[FC_WORKS], 0);
    ck_assert_uint_gt(verdicts[FC_WILL_NOT_WORK], 0);
    ck_assert_uint_gt(verdicts[FC_CANNOT_TELL], 0);
}
END_TEST

/* ---- Typical files ----------------------------------------------------- */

/* Golden: tests/starter/NAME.ini is what `flushcalc new` printed. */
static const struct {
    const char *name;
    size_t n;
    const char *answers[20];
} typical[] = {
    { "stories", 1, { "stories=8" } },
    { "office",
      14,
      { "title=Invented office", "stories=8", "floor=12ft", "batteries=2",
        "closets=5", "urinals=2", "lavatories=4", "material=copper L",
        "main=60psi", "flow-test=45 psi at 500 gpm", "meter=2 in",
        "backflow=rp", "prv-zones=1..4: 60 psi", "booster=5..8: 95 psi" } },
    { "tank",
      8,
      { "stories=6", "units=si", "tank=28 m", "floor=3.5 m", "closets=4",
        "existing=siphonic closet 3.5 gal",
        "retrofit=siphonic closet 1.28 gal", "prv-zones=1..2: 2.5 bar" } },
    { "school",
      11,
      { "title=Invented school; north wing", "stories=2", "closets=6",
        "urinals=4", "lavatories=6", "main=48..56 psi",
        "material=steel sch 40", "riser=1-1/4 in .. 1-1/2 in", "meter=none",
        "backflow=none", "code=upc" } },
};

START_TEST(typical_files_are_as_they_were)
{
    const char *srcdir = getenv("srcdir");
    static char want[8000];
    char path[400], *text = NULL;
    FILE *file;
    size_t n;

    snprintf(path, sizeof path, "%s/tests/starter/%s.ini",
             srcdir ? srcdir : ".", typical[_i].name);
    file = fopen(path, "r");
    ck_assert_msg(file != NULL, "%s", path);
    n = fread(want, 1, sizeof want - 1, file);
    want[n] = '\0';
    fclose(file);
    ck_assert_int_eq(
        fc_starter_text(typical[_i].answers, typical[_i].n, &text, NULL),
        FC_OK);
    ck_assert_str_eq(text, want);
    fc_free(text);
}
END_TEST

/* ---- Refusals ---------------------------------------------------------- */

static const struct {
    const char *answers[3]; /* beside stories=8, where NULL is not the first */
    const char *says;
} refused[] = {
    { { NULL },
      "how many stories the building has is not given; it is needed, such as "
      "stories=8" },
    { { "stories=8", "floor" },
      "\"floor\" has no value; KEY=VALUE is expected, such as stories=8" },
    { { "stories=8", "storeys=8" },
      "there is no key \"storeys\"; did you mean \"stories\"?" },
    { { "stories=8", "roof=flat" },
      "there is no key \"roof\"; the keys are title, stories, floor, "
      "batteries, closets, urinals, lavatories, existing, retrofit, main, "
      "flow-test, tank, pressure, first-floor, meter, backflow, booster, "
      "prv-zones, material, service, riser, branch, code, units" },
    { { "stories=8", "Stories=9" },
      "stories is given twice; once is expected" },
    { { "stories=0" },
      "stories \"0\"; a whole number from 1 to 300 is expected" },
    { { "stories=2.5" },
      "stories \"2.5\"; a whole number from 1 to 300 is expected" },
    { { "stories=8", "batteries=10" },
      "batteries \"10\"; a whole number from 1 to 9 is expected" },
    { { "stories=8", "closets=-1" },
      "closets \"-1\"; a whole number from 0 to 999 is expected" },
    { { "stories=8", "closets=0" },
      "closets is 0 and no urinal is given; a floor with a flush valve is "
      "expected" },
    { { "stories=8", "floor=12", "units=si" },
      "floor \"12\" has no unit; a length is needed, such as 12 ft or 3.5 m" },
    { { "stories=8", "floor=0 ft" },
      "floor \"0 ft\" is not above 0; a length above 0 is expected" },
    { { "stories=8", "floor=" },
      "floor is empty; a value is expected, or leave out what is not known" },
    { { "stories=8", "title=a\nb" },
      "title has more than one line or a control character, or is not text in "
      "UTF-8; one line of text is expected" },
    { { "stories=8", "title=floor {floor}" },
      "title \"floor {floor}\" holds a quote or a brace that a site file "
      "cannot hold there; a title without is expected" },
    { { "stories=8", "main=60 gpm" },
      "main \"60 gpm\" is a flow; a pressure is needed, such as 62 psi or 4.3 "
      "bar" },
    { { "stories=8", "main=300psi" },
      "[source main] static is 300.0 psi, which no street main has; -15..280 "
      "psi is expected" },
    { { "stories=8", "main=60psi", "flow-test=70 psi at 100 gpm" },
      "[source main] flow test is above the static pressure; it is expected "
      "to be at most that" },
    { { "stories=8", "main=60psi", "flow-test=40 psi" },
      "flow-test \"40 psi\"; a residual pressure at a flow is expected for "
      "each point, such as 50 psi at 223 gpm" },
    { { "stories=8", "flow-test=40 psi at 100 gpm" },
      "flow-test is given without \"main\"; the static pressure of the main "
      "is expected with it, such as main=60psi" },
    { { "stories=8", "main=60psi", "tank=90 ft" },
      "tank is given with \"main\"; one supply is expected: main, tank or "
      "pressure" },
    { { "stories=8", "tank=90 ft", "first-floor=2 ft" },
      "first-floor is given with \"tank\", whose level counts from the first "
      "floor; one of the two is expected" },
    { { "stories=8", "meter=big" },
      "meter \"big\"; a size is expected, and a kind where it is known, such "
      "as 2 in or 3 in compound, or none" },
    { { "stories=8", "meter=2 in turbine" },
      "meter \"turbine\" could be \"turbine class I\" or \"turbine class "
      "II\"; say which" },
    { { "stories=8", "meter=2 in compund" },
      "meter \"compund\" is not known; did you mean \"compound\"?" },
    { { "stories=8", "meter=7 in" },
      "meter \"7 in\" is not in the table of compound meters; a size from 2 "
      "in to 8 in is expected" },
    { { "stories=8", "backflow=large" },
      "backflow \"large\"; rp, double check or none is expected" },
    { { "stories=8", "booster=95" },
      "booster \"95\" has no unit; a pressure is needed, such as 62 psi or "
      "4.3 bar" },
    { { "stories=8", "booster=5..9: 95 psi" },
      "booster names floor 9 of a building of 8 stories; floors from 1 to 8 "
      "are expected" },
    { { "stories=8", "booster=1..4: 80 psi, 5..8: 95 psi" },
      "booster has 2 zones; 1 at most is expected" },
    { { "stories=8", "prv-zones=60 psi" },
      "prv-zones \"60 psi\"; floors and a set pressure are expected, such as "
      "1..4: 60 psi, or none" },
    { { "stories=8", "prv-zones=4..1: 60 psi" },
      "prv-zones \"4..1: 60 psi\"; floors and a set pressure are expected, "
      "such as 1..4: 60 psi, or none" },
    { { "stories=8", "prv-zones=1..4: 0 psi" },
      "prv-zones \"0 psi\" is not above 0; a set pressure above 0 is "
      "expected" },
    { { "stories=8", "prv-zones=1..4: 60 psi, 4..8: 70 psi" },
      "prv-zones names floor 4 twice; each floor once is expected" },
    { { "stories=8", "booster=5..8: 95 psi", "prv-zones=3..6: 60 psi" },
      "prv-zones 3..6 is in part on the booster; a zone that is on it as a "
      "whole, or not at all, is expected" },
    { { "stories=8", "material=coper L" },
      "material \"coper L\" is not known; did you mean \"copper L\"?" },
    { { "stories=8", "riser=7 in" },
      "riser \"7 in\"; a size of copper L is expected, from 3/8 in to 6 in" },
    /* 4,800 units: 593 gpm at the row of 5,000 of IPC Table E103.3(3) */
    { { "stories=40", "closets=12", "material=pex sdr 9" },
      "material pex sdr 9 has no size for the service, 593.0 gpm at no more "
      "than 8.0 ft/s; another material, or the size in place, such as "
      "service=2 in, is expected" },
    { { "stories=8", "existing=siphonic closet 3.6 gal" },
      "existing \"siphonic closet 3.6 gal\" is not known; a class of valve is "
      "expected: siphonic closet 3.5 gal, siphonic closet 1.6 gal, siphonic "
      "closet 1.28 gal, siphonic closet dual 1.6/1.1 gal, blowout closet 3.5 "
      "gal, urinal 1.0 gal, urinal 0.5 gal, urinal 0.125 gal, sensor closet "
      "dual 1.6/1.1 gal, sensor closet 1.28 gal, sensor urinal 0.5 gal" },
    { { "stories=8",
        "retrofit=siphonic closet 1.6 gal, siphonic closet 1.28 gal" },
      "retrofit \"siphonic closet 1.6 gal\" and \"siphonic closet 1.28 gal\" "
      "are for the same fixtures; one class for closets and one for urinals "
      "are expected" },
    { { "stories=8", "retrofit=urinal 0.5 gal" },
      "retrofit names \"urinal 0.5 gal\", and no urinals are given; how many "
      "a floor has is expected, such as urinals=2" },
    { { "stories=8", "code=nspc" }, "code \"nspc\"; ipc or upc is expected" },
    { { "stories=8", "units=cgs" }, "units \"cgs\"; us or si is expected" },
};

START_TEST(what_is_refused_is_said)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    char kept = 0, *text = &kept;
    size_t n = 0;

    while (n < 3 && refused[_i].answers[n])
        n++;
    ck_assert_int_eq(fc_starter_text(refused[_i].answers, n, &text, messages),
                     FC_EINPUT);
    ck_assert_ptr_eq(text, &kept);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_str_eq(fc_diagnostics_at(messages, 0).text, refused[_i].says);
    ck_assert_ptr_null(fc_diagnostics_at(messages, 0).file);
    fc_diagnostics_free(messages);
}
END_TEST

START_TEST(all_that_is_wrong_is_said)
{
    const char *const answers[] = { "floor=12 psi", "flor=2", "units=x" };
    fc_diagnostics *messages = fc_diagnostics_new();
    char *text = NULL;

    ck_assert_int_eq(fc_starter_text(answers, 3, &text, messages), FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 4); /* and stories */
    fc_diagnostics_free(messages);
}
END_TEST

/* ---- One answer, as it is asked for ------------------------------------ */

START_TEST(every_key_is_asked_for)
{
    const fc_starter_key *keys;
    const size_t n = fc_starter_keys(&keys);

    ck_assert_uint_eq(n, 24);
    for (size_t i = 0; i < n; i++) {
        ck_assert(keys[i].key && *keys[i].asks && *keys[i].may_be);
        ck_assert_int_eq(fc_starter_try(keys[i].key, "", NULL), FC_EINPUT);
        ck_assert_int_eq(fc_starter_try(keys[i].key, "\001", NULL), FC_EINPUT);
    }
    ck_assert_int_eq(fc_starter_try("floor", "12 ft", NULL), FC_OK);
    ck_assert_int_eq(fc_starter_try("Flow Test", "5 psi at 9 gpm", NULL),
                     FC_OK);
    ck_assert_int_eq(fc_starter_try("floor", "12", NULL), FC_OK);
    ck_assert_int_eq(fc_starter_try("prv-zones", "1..40: 60 psi", NULL),
                     FC_OK); /* how many stories there are is not known yet */
    ck_assert_int_eq(fc_starter_try("story", "8", NULL), FC_EINPUT);
}
END_TEST

int
main(void)
{
    Suite *suite = suite_create("starter");
    TCase *tcase = tcase_create("starter");

    tcase_set_timeout(tcase, 600);
    tcase_add_sampled_test(tcase, every_set_is_checked, LOOPS);
    tcase_add_counting_test(tcase, verdicts_of_all_kinds_were_met);
    tcase_add_loop_test(tcase, typical_files_are_as_they_were, 0,
                        (int)COUNT(typical));
    tcase_add_loop_test(tcase, what_is_refused_is_said, 0,
                        (int)COUNT(refused));
    tcase_add_test(tcase, all_that_is_wrong_is_said);
    tcase_add_test(tcase, every_key_is_asked_for);
    suite_add_tcase(suite, tcase);
    return run_suite_unforked(suite);
}
