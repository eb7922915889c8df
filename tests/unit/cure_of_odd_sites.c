/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/cure_of_odd_sites.c -- where a booster goes, what is refused, and
 * the same building in other units.
 */
#include "unit/cure_suite.h"
#include "unit/cure_trials.h"

#include <math.h>

#define SITE "[site]\ncode minimum = no\nmaximum static = 200 psi\n"
#define SOURCE "[source s]\nkind = fixed\npressure = 36 psi\n"
#define PIPE(name, from)                                                      \
    "[pipe " name "]\nfittings = none\nfrom = " from                          \
    "\nlength = 200 ft\nc = 140\ninside diameter = 1000 in\n"
#define CLOSET(name, on)                                                      \
    "[fixture " name "]\non = " on "\nkind = water closet, flush valve\n"     \
    "supply size = 1 in\nexisting = v\n"
#define VALVE "[valve v]\nminimum flowing = 40 psi\n"
#define LAVATORY(name, on) "[fixture " name "]\non = " on "\nkind = lavatory\n"

/* ---- Where a booster goes ---------------------------------------------- */

/* What feeds an element, or what a fixture, demand or heater is on. */
static const char *
fed_by(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (strcmp(site->elements[i].name, name) == 0)
            return site->elements[site->elements[i].parent].name;
    for (i = 0; i < site->n_fixtures; i++)
        if (strcmp(site->fixtures[i].given->name, name) == 0)
            return site->elements[site->fixtures[i].element].name;
    for (i = 0; i < site->n_draws; i++)
        if (strcmp(site->draws[i].name, name) == 0)
            return site->elements[site->draws[i].element].name;
    for (i = 0; i < site->n_parts; i++)
        if (site->parts[i].kind == FCI_HEATER
            && strcmp(site->parts[i].name, name) == 0)
            return ((const fc_heater *)site->parts[i].data)->on;
    ck_abort_msg("no %s", name);
    return NULL;
}

/* The booster, what it is behind, and who is fed by it and who is not. */
static const struct {
    const char *site, *booster, *behind;
    const char *behind_booster[5], *not_behind[4];
} places[] = {
    /* nothing branches: before the last, on which the fixture hangs */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "a") PIPE("c", "b") CLOSET("x", "c")
          VALVE,
      "booster",
      "b",
      { "c" },
      { "x" } },
    /* the source branches at once, and has all kinds on it */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "s") CLOSET("x", "a")
          CLOSET("y", "s")
              LAVATORY("lav", "b") "[demand d]\non = s\nflow = 5 gpm\n[heater "
                                   "h]\non = s\nserves = lav\n" VALVE,
      "booster",
      "s",
      { "a", "b", "y", "d", "h" },
      { "x", "lav" } },
    /* a fixture on the main ends it */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "a") PIPE("c", "b") CLOSET("x", "c")
          LAVATORY("lav", "a") VALVE,
      "booster",
      "s",
      { "a" },
      { "b", "c", "lav" } },
    /* and so does a demand */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "a") PIPE("c", "b")
          CLOSET("x", "c") "[demand d]\non = b\nflow = 5 gpm\n" VALVE,
      "booster",
      "a",
      { "b" },
      { "c", "d" } },
    /* a heater ends it too */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "a") CLOSET("x", "b") LAVATORY(
          "lav", "b") "[heater h]\non = a\nserves = lav\n" PIPE("c", "b")
          PIPE("d", "b") VALVE,
      "booster",
      "s",
      { "a" },
      { "b", "h", "c", "lav" } },
    /* nothing but the source */
    { SITE SOURCE CLOSET("x", "s") VALVE, "booster", "s", { "x" }, { NULL } },
    /* the name is taken, in whatever case, by whatever shares it */
    { SITE SOURCE PIPE("Booster", "s") PIPE("b", "booster")
          CLOSET("booster-2", "b") VALVE,
      "booster-3",
      "Booster",
      { "b" },
      { "booster-2" } },
    /* names are found in whatever case */
    { SITE SOURCE PIPE("a", "s") PIPE("b", "S") CLOSET("x", "A")
          CLOSET("y", "s") "[demand d]\non = S\nflow = 5 gpm\n" VALVE,
      "booster",
      "s",
      { "a", "b", "y", "d" },
      { "x" } },
};

START_TEST(booster)
{
    const fc_remedy *r;
    struct cured c;
    fc_site *site;
    int i;

    cured_begin(&c, site_of(places[_i].site), true, places[_i].behind);
    r = cured_by(&c, FC_ADD_BOOSTER, NULL);
    ck_assert(r && r->works);
    ck_assert_str_eq(r->subject, places[_i].behind);
    site = cured_read(&c, r);
    ck_assert_str_eq(fed_by(site, places[_i].booster), places[_i].behind);
    for (i = 0; i < 5 && places[_i].behind_booster[i]; i++)
        ck_assert_str_eq(fed_by(site, places[_i].behind_booster[i]),
                         places[_i].booster);
    for (i = 0; i < 4 && places[_i].not_behind[i]; i++)
        ck_assert_str_eq(fed_by(site, places[_i].not_behind[i]),
                         fed_by(c.site, places[_i].not_behind[i]));
    fc_site_free(site);
    assert_remedies(&c);
    cured_end(&c);
}
END_TEST

/* ---- Refused ----------------------------------------------------------- */

static const struct {
    const char *site;
    fc_status status;
    const char *message;
} refused[] = {
    { SITE SOURCE PIPE("a", "s") PIPE("b", "s")
          PIPE("c", "a") "to = b\n" CLOSET("x", "b") VALVE,
      FC_EUNSUPPORTED, "loop" },
    { SITE SOURCE "[source t]\nkind = fixed\npressure = 40 psi\n" PIPE(
          "a", "s") CLOSET("x", "a") VALVE,
      FC_EUNSUPPORTED, "source" },
    { "[site]\nmaterial = copper L\n" SOURCE
      "[pipe a]\nfittings = none\nfrom = s\nsize = choose\nlength = 9 "
      "ft\n" CLOSET("x", "a") VALVE,
      FC_EUNSUPPORTED, "run flushcalc size" },
    { SITE "peak = probability\n" SOURCE CLOSET("x", "s") VALVE, FC_EINPUT,
      "[fixture x]" },
    { SITE SOURCE CLOSET("x", "s") VALVE
      "[pipe a]\nfittings = none\nfrom = s\nmaterial = copper L\nsize = 1 "
      "in\nlength = 9 ft\n"
      "[pipe b]\nfittings = none\nfrom = s\nmaterial = steel sch 40\nsize = 1 "
      "in\n"
      "length = 9 ft\n"
      "[prices p]\nmaterial = copper L\n1 in = 9\n2 in = 20\n",
      FC_EINPUT, "[prices]" },
    { SITE SOURCE CLOSET("x", "s") VALVE
      "[pipe a]\nfittings = none\nfrom = s\nmaterial = copper L\nsize = 1 "
      "in\nlength = 9 ft\n"
      "[prices p]\nmaterial = copper L\n1 in = 9\n"
      "[prices q]\nmaterial = copper L\n1 in = 9\n",
      FC_EINPUT, "one list per material" },
};

START_TEST(refusal)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_remedies *const untouched = (fc_remedies *)(void *)messages;
    fc_remedies *remedies = untouched;
    fc_site *site = site_of(refused[_i].site);

    ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, messages),
                     refused[_i].status);
    ck_assert_ptr_eq(remedies, untouched);
    ck_assert_uint_ge(fc_diagnostics_count(messages), 1);
    ck_assert_msg(strstr(all_messages(messages), refused[_i].message), "%s",
                  all_messages(messages));
    ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, NULL),
                     refused[_i].status);
    fc_site_free(site);
    fc_diagnostics_free(messages);
}
END_TEST

START_TEST(unfinished)
{
    fc_site *site = fc_site_new();
    fc_remedies *remedies = NULL;

    ck_assert_int_eq(fc_remedies_find(site, NULL, &remedies, NULL), FC_ESTATE);
    ck_assert_ptr_null(remedies);
    fc_site_free(site);
    fc_remedies_free(NULL);
}
END_TEST

/* ---- Nothing to cure, and the texts ------------------------------------ */

#define WELL                                                                  \
    SITE "[source s]\nkind = fixed\npressure = 46 psi\n" PIPE("a", "s")       \
        CLOSET("x", "a") VALVE

START_TEST(all_is_well)
{
    struct cured c;
    char *text = NULL;

    cured_begin(&c, site_of(WELL), false, "well");
    ck_assert_int_eq(c.all->works, FC_WORKS);
    ck_assert_uint_eq(c.all->n_remedies, 0);
    ck_assert_uint_eq(c.all->n_floors, 1);
    ck_assert_double_eq_tol(c.all->floors[0].most, 46 * PSI, 1e-6);
    ck_assert_int_eq(fc_remedies_text(c.all, 0, NULL, &text, NULL), FC_ESTATE);
    ck_assert_ptr_null(text);
    cured_end(&c);
}
END_TEST

START_TEST(no_such_remedy)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    struct cured c;
    char *text = NULL;

    cured_begin(&c, site_of(places[0].site), true, "texts");
    ck_assert_int_eq(
        fc_remedies_text(c.all, c.all->n_remedies, NULL, &text, messages),
        FC_ESTATE);
    ck_assert_int_eq(fc_remedies_text(c.all, SIZE_MAX, NULL, &text, messages),
                     FC_ESTATE);
    ck_assert_ptr_null(text);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 2);
    fc_diagnostics_free(messages);
    cured_end(&c);
}
END_TEST

/* A building by calls, with a count that a file has no way to put. */
START_TEST(not_to_be_put)
{
    const fc_settings settings = { .code_minimum = FC_NO };
    const fc_source source = { .name = "s",
                               .kind = FC_FIXED,
                               .pressure = fc_exactly(30 * PSI) };
    /* a file has the nominal one midway */
    const fc_fixture closet = { .name = "x",
                                .on = "s",
                                .counts = { true, 1, 1, 3 },
                                .supply_size = fc_exactly(INCH),
                                .kind = "water closet, flush valve" };
    fc_site *site = fc_site_new();
    const fc_remedy *r;
    struct cured c;
    char *text = NULL;

    fc_site_set(site, &settings, NULL);
    fc_site_add_source(site, &source, NULL);
    fc_site_add_fixture(site, &closet, NULL);
    ck_assert_int_eq(fc_site_finish(site, NULL), FC_OK);
    cured_begin(&c, site, true, "calls");
    r = cured_by(&c, FC_RAISE_SOURCE, "s");
    ck_assert(r && r->works);
    ck_assert_double_eq_tol(r->value, 35 * PSI, 1e-3);
    ck_assert_int_eq(
        fc_remedies_text(c.all, cured_number(&c, r), NULL, &text, NULL),
        FC_EINPUT);
    ck_assert_ptr_null(text);
    cured_end(&c);
}
END_TEST

/* ---- Progress ---------------------------------------------------------- */

START_TEST(progress)
{
    struct heard heard = { 0, 0 };
    const fc_size_options options = {
        .check = { .peak_only = true, .progress = hear, .context = &heard }
    };
    fc_site *site = site_of(places[0].site);
    fc_remedies *remedies = NULL;

    ck_assert_int_eq(fc_remedies_find(site, &options, &remedies, NULL), FC_OK);
    ck_assert_int_gt(heard.times, 1);
    ck_assert_double_eq(heard.last, 1);
    fc_remedies_free(remedies);
    fc_site_free(site);
}
END_TEST

/* ---- The same in other units ------------------------------------------- */

static const char *const twice[] = { "clinic.ini", "block.ini",
                                     "library.ini" };

static fc_site *
example_in(const char *name, fc_unit_system units)
{
    const char *srcdir = getenv("srcdir");
    char path[4096];
    fc_site *site = NULL;

    snprintf(path, sizeof path, "%s/examples/%s", srcdir ? srcdir : ".", name);
    ck_assert_int_eq(fc_site_read(path, &site, NULL), FC_OK);
    fc_site_set_units(site, units);
    return site;
}

/* A figure is that of whole steps, of either system. */
START_TEST(either_system)
{
    struct cured us, si;
    size_t i;

    cured_begin(&us, example_in(twice[_i], FC_US), true, twice[_i]);
    cured_begin(&si, example_in(twice[_i], FC_SI), true, twice[_i]);
    ck_assert_int_eq(us.all->units, FC_US);
    ck_assert_int_eq(si.all->units, FC_SI);
    ck_assert_uint_eq(us.all->n_remedies, si.all->n_remedies);
    for (i = 0; i < us.all->n_remedies; i++) {
        const fc_remedy *a = &us.all->remedies[i], *b = &si.all->remedies[i];

        ck_assert_int_eq(a->lever, b->lever);
        ck_assert_int_eq(isnan(a->value), isnan(b->value));
        ck_assert_msg(a->works == b->works, "%s / %s", a->text, b->text);
        if (!isnan(a->value))
            ck_assert_msg(fabs(a->value - b->value)
                              <= fmax(step_of(&us, a), step_of(&si, b)) + 1e-3,
                          "%s / %s", a->text, b->text);
        if (a->lever == FC_REPLACE_PIPES)
            ck_assert_double_eq_tol(a->cost, b->cost, 1e-6);
    }
    assert_remedies(&si);
    cured_end(&us);
    cured_end(&si);
}
END_TEST

TCase *
cure_of_odd_sites(void)
{
    TCase *t = tcase_create("odd sites");

    tcase_add_loop_test(t, booster, 0, COUNT(places));
    tcase_add_loop_test(t, refusal, 0, COUNT(refused));
    tcase_add_test(t, unfinished);
    tcase_add_test(t, all_is_well);
    tcase_add_test(t, no_such_remedy);
    tcase_add_test(t, not_to_be_put);
    tcase_add_test(t, progress);
    tcase_add_loop_test(t, either_system, 0, COUNT(twice));
    return t;
}
