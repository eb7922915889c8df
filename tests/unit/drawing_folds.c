/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/drawing_folds.c -- what of a building is drawn, and what it
 * tells. */
#include "unit/drawing_suite.h"
#include "drawing/fold.h"
#include "generators/buildings.h"

/* Four floors: a riser of 11 ft with a branch on each and a closet on it. */
#define FLOOR(n, below, length, rest)                                         \
    "[pipe riser-" n "]\nfrom = " below "\nsize = 3 in\nlength = 11 ft\n"     \
    "rise = 11 ft\n[pipe branch-" n "]\nfrom = riser-" n                      \
    "\nsize = 2 in\nlength = " length "\n[fixture wc-" n "]\non = branch-" n  \
    "\nkind = water closet, flush valve\n" rest
#define MAIN                                                                  \
    "[site]\nmaterial = copper L\ncondition = new\n"                          \
    "[source main]\nkind = fixed\npressure = 75 psi\n"

static const struct {
    const char *what, *file;
    size_t drawn, floors, branches;
} folds[] = {
    /* the main, one riser and branch for all */
    { "four alike",
      MAIN FLOOR("1", "main", "9 ft", "") FLOOR("2", "riser-1", "9 ft", "")
          FLOOR("3", "riser-2", "9 ft", "") FLOOR("4", "riser-3", "9 ft", ""),
      3, 4, 1 },
    /* the main, the first floor, the three */
    { "the first has a longer branch",
      MAIN FLOOR("1", "main", "10 ft", "") FLOOR("2", "riser-1", "9 ft", "")
          FLOOR("3", "riser-2", "9 ft", "") FLOOR("4", "riser-3", "9 ft", ""),
      5, 3, 1 },
    /* two and two: too few to fold */
    { "two and two",
      MAIN FLOOR("1", "main", "10 ft", "") FLOOR("2", "riser-1", "10 ft", "")
          FLOOR("3", "riser-2", "9 ft", "") FLOOR("4", "riser-3", "9 ft", ""),
      9, 1, 1 },
    { "another fixture",
      MAIN FLOOR("1", "main", "9 ft", "") FLOOR("2", "riser-1", "9 ft", "")
          FLOOR("3", "riser-2", "9 ft", "count = 2\n")
              FLOOR("4", "riser-3", "9 ft", ""),
      9, 1, 1 },
    /* three branches of one pipe are one */
    { "branches",
      MAIN "[pipe a]\nfrom = main\nsize = 3 in\nlength = 5 ft\n"
           "[pipe x]\nfrom = a\nsize = 2 in\nlength = 5 ft\n"
           "[pipe y]\nfrom = a\nsize = 2 in\nlength = 5 ft\n"
           "[pipe z]\nfrom = a\nsize = 2 in\nlength = 5 ft\n"
           "[fixture f]\non = x\nkind = lavatory\n"
           "[fixture g]\non = y\nkind = lavatory\n"
           "[fixture h]\non = z\nkind = lavatory\n",
      3, 1, 3 },
    /* 5 ft and 1.524 m are the same */
    { "units",
      MAIN "[pipe x]\nfrom = main\nsize = 2 in\nlength = 5 ft\n"
           "[pipe y]\nfrom = main\nsize = 2 in\nlength = 1.524 m\n"
           "[fixture f]\non = x\nkind = lavatory\n"
           "[fixture g]\non = y\nkind = lavatory\n",
      2, 1, 2 },
};

START_TEST(folded)
{
    fc_site *site = site_of(folds[_i].file);
    struct fci_arena arena = { 0 };
    size_t branches = 1, i;
    struct fci_fold made;

    ck_assert(fci_fold_make(&made, site, NULL, NULL, &arena));
    for (i = 0; i < made.n_drawn; i++)
        if (made.drawn[i].branches > branches)
            branches = made.drawn[i].branches;
    ck_assert_msg(made.n_drawn == folds[_i].drawn
                      && made.most_floors == folds[_i].floors
                      && branches == folds[_i].branches,
                  "%s: %zu drawn, %zu floors, %zu branches", folds[_i].what,
                  made.n_drawn, made.most_floors, branches);
    fci_arena_free(&arena);
    fc_site_free(site);
}
END_TEST

/* Every element and every outlet stands for itself or is stood for, once. */
static void
assert_whole(const fc_site *site, const struct fci_fold *fold)
{
    int *seen = calloc(site->n_elements + site->n_fixtures + site->n_draws,
                       sizeof *seen);
    size_t i, k, n = 0;

    ck_assert_ptr_nonnull(seen);
    for (i = 0; i < fold->n_drawn; i++) {
        const struct fci_drawn *d = &fold->drawn[i];

        ck_assert(d->parent == SIZE_MAX || d->parent < i);
        for (k = 0; k < d->n_elements; k++)
            seen[d->elements[k]]++;
    }
    for (i = 0; i < fold->n_outlets; i++) {
        const struct fci_outlet *o = &fold->outlets[i];
        const size_t from =
            site->n_elements + (o->is_draw ? site->n_fixtures : 0);

        for (k = 0; k < o->n; k++)
            seen[from + o->alike[k]]++;
    }
    n = site->n_elements + site->n_fixtures + site->n_draws;
    for (i = 0; i < n; i++)
        ck_assert_msg(seen[i] == 1, "%zu of %zu: %d times", i, n, seen[i]);
    free(seen);
}

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 8 },
    { .fewest = 40, .most = 60, .ranges = true },
    { .fewest = 30, .most = 50, .loops = 4, .sources = 2 },
    { .fewest = 450, .most = 550 },
};

START_TEST(fold_is_whole)
{
    unsigned long seed;

    for (seed = 1; seed <= 12; seed++) {
        fc_site *site = building_made(seed, &plans[_i]);
        struct fci_arena arena = { 0 };
        struct fci_fold made;

        ck_assert(fci_fold_make(&made, site, NULL, NULL, &arena));
        assert_whole(site, &made);
        fci_arena_free(&arena);
        fc_site_free(site);
    }
}
END_TEST

/* ---- What is told ----------------------------------------------------- */

struct told {
    fc_site *site;
    fc_check_result *result;
    const struct fci_points *points;
};

static bool
riser(xmlTextWriterPtr out, void *context)
{
    const struct told *t = context;

    return fci_draw_riser(out, t->site, t->result, t->points);
}

static void
assert_told(struct told *t, const char *const *said, int n)
{
    char *text = drawn_text(riser, t);
    int i;

    for (i = 0; i < n; i++)
        ck_assert_msg(strstr(text, said[i]), "no %s", said[i]);
    xmlFree(text);
}

/* The worst of four floors is the top one. */
START_TEST(checked_words)
{
    static const char *const said[] = {
        ">floors 1-4, alike<",
        ">wc-4, worst of 4<",
        ">3 in, 11.0 ft<",
        ">55.9 / ", /* 75 - 44 x 0.43310 = 55.94 psi */
        "Y32.2.3",
        ">elevation<",
        ">flush valve<",
        ">constant pressure<",
    };
    struct told t = { .site = site_of(folds[0].file) };

    ck_assert_int_eq(fc_check(t.site, &t.result, NULL), FC_OK);
    assert_told(&t, said, COUNT(said));
    fc_check_result_free(t.result);
    fc_site_free(t.site);
}
END_TEST

static bool
point_at(void *context, const char *name, struct fci_point *point)
{
    (void)context;
    if (strcmp(name, "wc-3") != 0)
        return false;
    point->pressure = fc_exactly(37 * PSI);
    point->flow = fc_exactly(25 * GPM);
    point->word = "reads 37.0 psi";
    point->mark = FC_WILL_NOT_WORK;
    point->apart = true;
    return true;
}

/* What a report tells of a place stands there, and that place by itself. */
START_TEST(points_told)
{
    static const char *const said[] = { ">wc-3<", ">37.0 psi<", ">25.0 gpm<",
                                        ">reads 37.0 psi<", ">wc-4<" };
    const struct fci_points points = { point_at, NULL };
    struct told t = { .site = site_of(folds[0].file), .points = &points };

    assert_told(&t, said, COUNT(said));
    fc_site_free(t.site);
}
END_TEST

/* Two risers tied at their tops, and a second source: not checked, but
 * drawn. */
START_TEST(loop_told)
{
    static const char *const said[] = { ">joins b<", ">joined by tie<",
                                        ">tank<", ">water at 60.0 ft<",
                                        ">city main<" };
    struct told t = {
        .site = site_of(
            "[site]\nmaterial = copper L\n[source main]\nkind = street main\n"
            "static = 60 psi\n[source roof]\nkind = tank\n"
            "water level = 60 ft\nelevation = 50 ft\n"
            "[pipe a]\nfrom = main\nsize = 2 in\nlength = 20 ft\nrise = 20 "
            "ft\n"
            "[pipe b]\nfrom = main\nsize = 2 in\nlength = 20 ft\nrise = 20 "
            "ft\n"
            "[pipe tie]\nfrom = a\nto = b\nsize = 2 in\nlength = 9 ft\n"
            "[pipe drop]\nfrom = roof\nto = b\nsize = 2 in\nlength = 40 ft\n"
            "rise = -30 ft\n"
            "[fixture wc]\non = a\nkind = water closet, flush valve\n")
    };

    assert_told(&t, said, COUNT(said));
    fc_site_free(t.site);
}
END_TEST

TCase *
drawing_fold_tests(void)
{
    TCase *t = tcase_create("folds");

    tcase_add_loop_test(t, folded, 0, COUNT(folds));
    tcase_add_loop_test(t, fold_is_whole, 0, COUNT(plans));
    tcase_add_test(t, checked_words);
    tcase_add_test(t, points_told);
    tcase_add_test(t, loop_told);
    return t;
}
