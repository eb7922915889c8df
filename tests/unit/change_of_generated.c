/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/change_of_generated.c -- generated buildings changed and written.
 */
#include "generators/buildings.h"
#include "unit/change_outcomes.h"
#include "generators/change_sites.h"
#include "unit/change_suite.h"

/* What may be done to a part of a kind, always possible. */
static const struct {
    enum fci_kind kind;
    const char *key, *value;
} random_changes[] = {
    { FCI_PIPE, "length", "17.5 ft" },
    { FCI_PIPE, "length", "10..33 m" },
    { FCI_PIPE, "rise", "2 ft 3 in" },
    { FCI_PIPE, "rise", NULL },
    { FCI_PIPE, "c", "95" },
    { FCI_PIPE, "c", "90..130" },
    { FCI_PIPE, "condition", "aged" },
    { FCI_PIPE, "condition", NULL },
    { FCI_PIPE, "fittings", NULL },
    { FCI_PIPE, "velocity limit", "5 ft/s" },
    { FCI_METER, "rise", "1 ft" },
    { FCI_METER, "rise", NULL },
    { FCI_BACKFLOW, "loss", "3 psi at 40 gpm" },
    { FCI_BACKFLOW, "loss", "1..2 psi" },
    { FCI_DEVICE, "loss", "0 gpm 1 psi, 40 gpm 2 psi, 90 gpm 7 psi" },
    { FCI_REDUCER, "set", "44 psi" },
    { FCI_REDUCER, "set", "3..4 bar" },
    { FCI_REDUCER, "fall-off", NULL },
    { FCI_REDUCER, "fall-off", "2 psi at 30 gpm" },
    { FCI_PUMP, "hold", "70 psi" },
    { FCI_PUMP, "hold", NULL },
    { FCI_PUMP, "running", "no" },
    { FCI_PUMP, "curve", "0 gpm 50 ft, 300 gpm 0 ft" },
    { FCI_FIXTURE, "count", "4" },
    { FCI_FIXTURE, "count", NULL },
    { FCI_FIXTURE, "rise", "1 m" },
    { FCI_FIXTURE, "stop", "1 psi at 20 gpm" },
    { FCI_FIXTURE, "stop", NULL },
    { FCI_FIXTURE, "retrofit", NULL },
    { FCI_FIXTURE, "fixture units", "3.5" },
    { FCI_VALVE, "minimum flowing", "19 psi" },
    { FCI_VALVE, "flow", "22..28 gpm at 25 psi" },
    { FCI_VALVE, "closing time", "3 s" },
    { FCI_DEMAND, "flow", "3 gpm" },
    { FCI_SITE, "reserve", "2 psi" },
    { FCI_SITE, "reserve", NULL },
    { FCI_SITE, "code minimum", "no" },
    { FCI_SITE, "condition", "new" },
    { FCI_SITE, "title", "x ; y" },
    { FCI_TOLERANCE, "length", "7 %" },
    { FCI_TOLERANCE, "pressure", "1.5 psi" },
    { FCI_TOLERANCE, "elevation", "0.1 m" },
};

/* Up to `most` of them, no key of a part twice. */
static size_t
choose_changes(const fc_site *site, gsl_rng *rng, struct fci_change *changes,
               size_t most)
{
    size_t tries, n = 0, i;

    for (tries = 0; tries < 50 * most && n < most; tries++) {
        const int k = (int)gsl_rng_uniform_int(
            rng, (unsigned long)COUNT(random_changes));
        const struct fci_part *part =
            &site->parts[gsl_rng_uniform_int(rng, site->n_parts)];
        const bool all = random_changes[k].kind == FCI_TOLERANCE;

        if (!all && part->kind != random_changes[k].kind)
            continue;
        changes[n] = (struct fci_change){ random_changes[k].kind,
                                          all ? NULL : part->name,
                                          random_changes[k].key,
                                          random_changes[k].value, NULL };
        for (i = 0; i < n; i++)
            if (changes[i].kind == changes[n].kind
                && (all || strcmp(changes[i].name, part->name) == 0)
                && strcmp(changes[i].key, changes[n].key) == 0)
                break;
        n += i == n;
    }
    return n;
}

static const struct building_plan plans[] = {
    { .fewest = 3, .most = 60 }, { .fewest = 3, .most = 60, .ranges = true }
};

/* Read from a file: to the bits.  Made by calls: a figure is multiplied by its
 * unit's factor once or twice. */
START_TEST(generated)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    const bool calls = _i % 3 == 0;
    const struct building_style style = { (fc_unit_system)(_i % 2), NULL,
                                          NULL };
    struct fci_change changes[12];
    fc_site *site, *copy, *changed, *again;
    struct building b;
    size_t n;

    gsl_rng_set(rng, (unsigned long)_i + 1);
    building_make(&b, 7000 + (unsigned long)_i, &plans[_i % 2]);
    site = calls ? building_site(&b, NULL) : building_read(&b, &style);
    ck_assert_ptr_nonnull(site);
    copy = changed_site(site, NULL, 0);
    same_sites(site, copy, &at_peak, 0);
    again = read_written(site, NULL, 0);
    same_sites(site, again, &at_peak, calls ? LAST_PLACES : 0);
    fc_site_free(again);
    n = choose_changes(site, rng, changes, 12);
    ck_assert_uint_gt(n, 0);
    changed = changed_site(copy, changes, n);
    fc_site_free(copy);
    again = read_written(site, changes, n);
    same_sites(changed, again, &at_peak, calls ? LAST_PLACES : 0);
    fc_site_free(again);
    fc_site_free(changed);
    fc_site_free(site);
    building_free(&b);
    gsl_rng_free(rng);
}
END_TEST

TCase *
change_of_generated(void)
{
    TCase *t = tcase_create("generated buildings");

    tcase_add_sampled_test(t, generated, usual(40, 100));
    return t;
}
