/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/properties/properties_same.c -- what changes nothing: order, letter
 * case, white space, comments, units, calls or file, n fixtures for a count of
 * n, and a pipe cut in two. */
#include "properties/properties.h"

#define BUILDINGS 100

/* Sums of fixture units and draws depend in their last bits on the order in
 * which they are added up. */
#define LAST_BITS 1e-13
#define LAST_BITS_OF_PRESSURE 1e-6 /* Pa; pressures are of about 1e5 */

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 60 }, { .fewest = 3, .most = 60, .ranges = true }
};

static void
same_words(const struct building *b, const fc_check_result *one,
           const fc_check_result *two)
{
    size_t i;

    HOLDS(b, one->n_findings == two->n_findings, "numbers of findings");
    for (i = 0; i < one->n_findings; i++)
        HOLDS(
            b,
            one->findings[i].severity == two->findings[i].severity
                && fci_same_name(one->findings[i].subject,
                                 two->findings[i].subject)
                && strcmp(one->findings[i].about, two->findings[i].about) == 0
                && fci_same_name(one->findings[i].text, two->findings[i].text),
            "%s: %s\nand %s: %s", one->findings[i].subject,
            one->findings[i].text, two->findings[i].subject,
            two->findings[i].text);
    HOLDS(b, one->n_assumptions == two->n_assumptions, "of assumptions");
    for (i = 0; i < one->n_assumptions; i++)
        HOLDS(b, fci_same_name(one->assumptions[i], two->assumptions[i]),
              "%s\nand %s", one->assumptions[i], two->assumptions[i]);
}

/* A figure is multiplied by its unit's factor once or twice, each good to
 * half a unit of the last of 53 bits. */
#define FACTORS 1e-12

/* Case, white space and the order of keys: down to the bits, and in words
 * too.  Calls and the other units: to the rounding of the factors. */
START_TEST(files)
{
    gsl_rng *rng = property_random((unsigned long)_i);
    const fc_unit_system units = (fc_unit_system)(_i % 3 == 0);
    const struct building_style plain = { units, NULL, NULL };
    const struct building_style odd = { units, NULL, rng };
    const struct building_style other = { (fc_unit_system)!units, NULL, NULL };
    struct building b;
    struct property_check one, dressed, converted, called;

    building_make(&b, 3000 + (unsigned long)_i, &plans[_i % 2]);
    one = property_check_site(&b, building_read(&b, &plain));
    dressed = property_check_site(&b, building_read(&b, &odd));
    property_same(&b, one.result, dressed.result, 0, 0);
    same_words(&b, one.result, dressed.result);
    converted = property_check_site(&b, building_read(&b, &other));
    property_same(&b, one.result, converted.result, FACTORS, 1e-6 * PSI);
    called = property_check(&b);
    property_same(&b, one.result, called.result, FACTORS, 1e-6 * PSI);
    property_check_end(&called);
    property_check_end(&converted);
    property_check_end(&dressed);
    property_check_end(&one);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

START_TEST(any_order)
{
    gsl_rng *rng = property_random((unsigned long)_i);
    struct building b;
    struct property_check one, two;
    size_t *order;

    building_make(&b, 3200 + (unsigned long)_i, &plans[_i % 2]);
    order = building_order(b.n_parts, rng);
    if (_i % 2) {
        one = property_check(&b);
        two = property_check_site(&b, building_site(&b, order));
    } else {
        const struct building_style plain = { FC_US, NULL, NULL };
        const struct building_style shuffled = { FC_US, order, NULL };

        one = property_check_site(&b, building_read(&b, &plain));
        two = property_check_site(&b, building_read(&b, &shuffled));
    }
    property_same(&b, one.result, two.result, LAST_BITS,
                  LAST_BITS_OF_PRESSURE);
    property_check_end(&two);
    property_check_end(&one);
    free(order);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

/* ---- A count of n ----------------------------------------------------- */

/* Every heater that serves the fixture serves its double. */
static void
serve_too(struct building *b, const char *fixture, const char *twin)
{
    size_t i, k;

    for (i = 0; i < b->n_parts; i++) {
        fc_heater *heater = &b->parts[i].as.heater;
        const char **serves;

        if (b->parts[i].kind != FCI_HEATER)
            continue;
        for (k = 0; k < heater->n_serves; k++)
            if (strcmp(heater->serves[k], fixture) == 0)
                break;
        if (k == heater->n_serves)
            continue;
        serves = (const char **)fci_arena_array(
            &b->texts, heater->n_serves + 1, sizeof *serves);
        for (k = 0; k < heater->n_serves; k++)
            serves[k] = heater->serves[k];
        serves[heater->n_serves++] = twin;
        heater->serves = serves;
    }
}

static void
write_out(struct building *b)
{
    const size_t n = b->n_parts;
    size_t i;
    int k;

    for (i = 0; i < n; i++) {
        const fc_fixture group = b->parts[i].as.fixture;

        if (b->parts[i].kind != FCI_FIXTURE || group.count < 2)
            continue;
        b->parts[i].as.fixture.count = 1;
        for (k = 2; k <= group.count; k++) {
            fc_fixture twin = group;

            twin.count = 0;
            twin.name =
                fci_arena_printf(&b->texts, "%s.twin%d", group.name, k);
            building_add(b, FCI_FIXTURE)->as.fixture = twin;
            serve_too(b, group.name, twin.name);
        }
    }
}

static void
same_group(const struct building *b, const fc_checked_fixture *group,
           const fc_check_result *all)
{
    const fc_checked_fixture *one;
    char name[80];
    int k, state;

    for (k = 1; k <= group->count; k++) {
        snprintf(name, sizeof name, "%s.twin%d", group->name, k);
        one = property_fixture(all, k > 1 ? name : group->name);
        HOLDS(b, one->count == 1, "%s is not single", one->name);
        for (state = 0; state < property_states(all); state++)
            HOLDS(b,
                  property_near(one->states[state].flowing.nominal,
                                group->states[state].flowing.nominal, 0,
                                LAST_BITS_OF_PRESSURE)
                      && property_near(one->states[state].margin.low,
                                       group->states[state].margin.low, 0,
                                       LAST_BITS_OF_PRESSURE)
                      && one->states[state].works
                             == group->states[state].works,
                  "%s differs from its group", one->name);
    }
}

START_TEST(count_of_n)
{
    struct building b, c;
    struct property_check groups, singles;
    size_t i;
    int state;

    building_make(&b, 3800 + (unsigned long)_i, &plans[_i % 2]);
    building_copy(&c, &b);
    write_out(&c);
    groups = property_check(&b);
    singles = property_check(&c);
    for (i = 0; i < groups.result->n_fixtures; i++)
        same_group(&b, &groups.result->fixtures[i], singles.result);
    for (state = 0; state < property_states(groups.result); state++)
        HOLDS(&b,
              groups.result->states[state].failing
                      == singles.result->states[state].failing
                  && groups.result->states[state].working
                         == singles.result->states[state].working,
              "numbers of fixtures that work differ");
    property_check_end(&singles);
    property_check_end(&groups);
    building_free(&c);
    building_free(&b);
}
END_TEST

/* ---- A pipe cut in two ------------------------------------------------ */

static fc_range
part_of(fc_range range, double share)
{
    range.nominal *= share;
    range.low *= share;
    range.high *= share;
    return range;
}

/* The far piece keeps the name, so that what hangs on it stays there, and the
 * fittings.  A range of sizes would let the pieces have different ones. */
static void
cut(struct building *b, size_t i, double share)
{
    fc_pipe *far = &b->parts[i].as.pipe;
    fc_pipe near;

    far->size.low = far->size.high = far->size.nominal;
    near = *far;
    near.name = fci_arena_printf(&b->texts, "%s.near", far->name);
    near.length = part_of(far->length, share);
    near.rise = part_of(far->rise, share);
    near.n_fittings = 0;
    near.no_fittings = true;
    far->length = part_of(far->length, 1 - share);
    far->rise = part_of(far->rise, 1 - share);
    far->from = near.name;
    building_add(b, FCI_PIPE)->as.pipe = near; /* may move `far` */
}

static void
cut_all(struct building *b, struct building *whole, gsl_rng *rng)
{
    const size_t n = b->n_parts;
    size_t i;

    for (i = 0; i < n; i++)
        if (b->parts[i].kind == FCI_PIPE && gsl_rng_uniform(rng) < 0.5) {
            fc_range *size = &whole->parts[i].as.pipe.size;

            size->low = size->high = size->nominal;
            cut(b, i, gsl_rng_uniform(rng));
        }
}

START_TEST(cut_in_two)
{
    gsl_rng *rng = property_random((unsigned long)_i);
    struct building b, pieces;
    struct property_check one, two;
    size_t i;
    int state;

    building_make(&b, 4000 + (unsigned long)_i, &plans[_i % 2]);
    building_copy(&pieces, &b);
    cut_all(&pieces, &b, rng);
    one = property_check(&b);
    two = property_check(&pieces);
    for (i = 0; i < one.result->n_fixtures; i++)
        for (state = 0; state < property_states(one.result); state++) {
            const fc_range a = one.result->fixtures[i].states[state].flowing;
            const fc_range c = two.result->fixtures[i].states[state].flowing;

            HOLDS(&b,
                  property_near(a.nominal, c.nominal, 1e-12, 1e-6)
                      && property_near(a.low, c.low, 1e-12, 1e-6)
                      && property_near(a.high, c.high, 1e-12, 1e-6),
                  "%s: %.12g, with pipes cut %.12g",
                  one.result->fixtures[i].name, a.nominal, c.nominal);
        }
    property_check_end(&two);
    property_check_end(&one);
    building_free(&pieces);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

TCase *
properties_of_sameness(void)
{
    TCase *test = tcase_create("sameness");

    tcase_add_loop_test(test, files, 0, BUILDINGS);
    tcase_add_loop_test(test, any_order, 0, BUILDINGS);
    tcase_add_loop_test(test, count_of_n, 0, BUILDINGS);
    tcase_add_loop_test(test, cut_in_two, 0, BUILDINGS);
    return test;
}
