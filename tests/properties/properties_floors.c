/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_floors.c -- a typical floor is its floors
 * written out, whether in one block or in two. */
#include "properties/properties.h"

#define TOWERS 60

/* A tower of invented figures, either way. */
struct tower {
    unsigned long seed;
    int first, last; /* floors */
    int skipped;     /* one in between that is not there; 0: none */
    int upper;       /* first floor of the second block */
    double height, length, rise;
    double upper_height; /* of a floor of it */
    int closets, basins;
    const char *size;
};

static struct tower
some_tower(unsigned long seed, gsl_rng *rng)
{
    static const char *const sizes[] = { "2 in", "2-1/2 in", "3 in" };
    struct tower t = { .seed = seed };

    t.first = 2 + (int)gsl_rng_uniform_int(rng, 9);
    t.last = t.first + (int)gsl_rng_uniform_int(rng, 25);
    if (t.last > t.first + 2 && gsl_rng_uniform(rng) < 0.5)
        t.skipped = t.first + 1
                    + (int)gsl_rng_uniform_int(
                        rng, (unsigned long)(t.last - t.first - 1));
    t.height = 9 + 5 * gsl_rng_uniform(rng);
    t.upper =
        t.first
        + (int)gsl_rng_uniform_int(rng, (unsigned long)(t.last - t.first + 1));
    t.upper_height = seed % 3 == 0 ? t.height : 9 + 5 * gsl_rng_uniform(rng);
    t.length = 5 + 60 * gsl_rng_uniform(rng);
    t.rise = 3 * gsl_rng_uniform(rng);
    t.closets = 1 + (int)gsl_rng_uniform_int(rng, 6);
    t.basins = (int)gsl_rng_uniform_int(rng, 4);
    t.size = sizes[gsl_rng_uniform_int(rng, 3)];
    return t;
}

static bool
is_there(const struct tower *t, int floor)
{
    return floor >= t->first && floor <= t->last && floor != t->skipped;
}

static void
begin(FILE *out, const struct tower *t)
{
    fprintf(out,
            "[site]\ntitle = Invented tower %lu\nmaterial = copper L\n"
            "[source main]\nwithin = 0 psi\nkind = street main\nstatic = "
            "70..75 psi\n"
            "residual = 60 psi\nresidual flow = 300 gpm\n"
            "[pipe riser-%d]\nfittings = none\nfrom = main\nsize = 4 "
            "in\nlength = 30 ft\n",
            t->seed, t->first - 1);
}

/* `floors` is its key, or nothing; `name` stands for the floor, `below` for
 * the one under it. */
static void
write_riser(FILE *out, const struct tower *t, double height,
            const char *floors, const char *name, const char *below)
{
    fprintf(out,
            "[pipe riser-%s]\n%sfrom = riser-%s\nsize = %s\n"
            "length = %.17g ft\nrise = %.17g ft\nfittings = 1 tee run\n",
            name, floors, below, t->size, height, height);
}

static void
write_branch(FILE *out, const struct tower *t, const char *floors,
             const char *name)
{
    fprintf(out,
            "[pipe branch-%s]\n%sfrom = riser-%s\nsize = "
            "1-1/2 in .. 2 in\n"
            "length = %.17g ft\nrise = %.17g ft\nfittings = 2 elbow 90\n",
            name, floors, name, t->length, t->rise);
}

static void
write_closets(FILE *out, const struct tower *t, const char *floors,
              const char *name)
{
    fprintf(out,
            "[fixture closets-%s]\n%son = branch-%s\n"
            "kind = water closet, flush valve\ncount = %d\n"
            "retrofit = siphonic closet 1.28 gal\n",
            name, floors, name, t->closets);
}

static void
write_basins(FILE *out, const struct tower *t, const char *floors,
             const char *name)
{
    if (t->basins)
        fprintf(out,
                "[fixture basins-%s]\n%son = branch-%s\nkind = lavatory\n"
                "count = %d\n",
                name, floors, name, t->basins);
}

static void
write_typical(FILE *out, const struct tower *t)
{
    char floors[80];

    begin(out, t);
    /* the riser runs through the floor that has no branch */
    if (t->upper > t->first) {
        snprintf(floors, sizeof floors, "floors = %d..%d\n", t->first,
                 t->upper - 1);
        write_riser(out, t, t->height, floors, "{floor}", "{floor-1}");
    }
    snprintf(floors, sizeof floors, "floors = %d..%d\n", t->upper, t->last);
    write_riser(out, t, t->upper_height, floors, "{floor}", "{floor-1}");
    snprintf(floors, sizeof floors, "floors = %d..%d\n", t->first, t->last);
    if (t->skipped)
        snprintf(floors, sizeof floors, "floors = %d..%d, %d..%d\n", t->first,
                 t->skipped - 1, t->skipped + 1, t->last);
    write_branch(out, t, floors, "{floor}");
    write_closets(out, t, floors, "{floor}");
    write_basins(out, t, floors, "{floor}");
}

static void
each_floor(FILE *out, const struct tower *t,
           void write(FILE *out, const struct tower *t, const char *floors,
                      const char *name))
{
    char name[16];
    int floor;

    for (floor = t->first; floor <= t->last; floor++)
        if (is_there(t, floor)) {
            snprintf(name, sizeof name, "%d", floor);
            write(out, t, "", name);
        }
}

static void
write_floors(FILE *out, const struct tower *t)
{
    char name[16], below[16];
    int floor;

    begin(out, t);
    for (floor = t->first; floor <= t->last; floor++) {
        snprintf(name, sizeof name, "%d", floor);
        snprintf(below, sizeof below, "%d", floor - 1);
        write_riser(out, t, floor < t->upper ? t->height : t->upper_height, "",
                    name, below);
    }
    each_floor(out, t, write_branch);
    each_floor(out, t, write_closets);
    each_floor(out, t, write_basins);
}

static struct property_check
check_tower(const struct building *b, const struct tower *t,
            void write(FILE *out, const struct tower *t))
{
    char *text = NULL;
    size_t length;
    FILE *out = open_memstream(&text, &length);
    fc_site *site = NULL;

    ck_assert_ptr_nonnull(out);
    write(out, t);
    ck_assert_int_eq(fclose(out), 0);
    fc_site_read_text(text, length, "tower.ini", &site, NULL);
    free(text);
    return property_check_site(b, site);
}

START_TEST(typical_floor)
{
    gsl_rng *rng = property_random(5000 + (unsigned long)_i);
    const struct tower t = some_tower((unsigned long)_i, rng);
    const struct building b = { .seed = t.seed };
    struct property_check typical = check_tower(&b, &t, write_typical);
    struct property_check floors = check_tower(&b, &t, write_floors);
    const size_t n = (size_t)(t.last - t.first + 1 - (t.skipped != 0));

    ck_assert_uint_eq(typical.result->n_fixtures, n * (t.basins ? 2u : 1u));
    property_same(&b, typical.result, floors.result, 0, 0);
    property_check_end(&floors);
    property_check_end(&typical);
    gsl_rng_free(rng);
}
END_TEST

TCase *
properties_of_floors(void)
{
    TCase *test = tcase_create("floors");

    tcase_add_loop_test(test, typical_floor, 0, TOWERS);
    return test;
}
