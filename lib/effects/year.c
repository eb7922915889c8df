/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/effects/year.c -- uses, flushes and water of a year, over all that is
 * not known.
 *
 * What is known only as a range is one variable for the whole building, so
 * that both states of it see the same people, days and stays.  Everything is
 * worked out with each of these at either end, all together: a year's water is
 * linear in each of them alone but for the hygiene flushes, whose own bounds
 * stand for them, so that these corners bound it.
 */
#include "effects/uses_work.h"
#include "units/range_sums.h"

#include <math.h>

const char *
fci_unknown_said(enum fci_unknown unknown)
{
    static const char *const said[FCI_UNKNOWNS] = {
        [FCI_PEOPLE_COUNTED] = "how many people there are",
        [FCI_MEN_AMONG_THEM] = "how many of them are men",
        [FCI_USES_OF_EACH] = "how often each of them goes",
        [FCI_DAYS_OF_USE] = "on how many days a year",
        [FCI_FLUSHES_PER_USE] = "flushes of a sensor valve for each use",
        [FCI_LONG_STAYS] = "how many stays are long",
        [FCI_FALSE_FLUSHES] = "how many false flushes there are",
        [FCI_FIXTURES_COUNTED] = "how many fixtures there are",
        [FCI_OWN_USES] = "uses per day of fixtures",
        [FCI_OWN_COUNTED] = "how many fixtures there are",
        [FCI_IDLE_SPELLS] = "how many hygiene flushes there are",
        [FCI_SELF_FLUSHING] = "whether valves flush by themselves",
    };

    return said[unknown];
}

static bool
tells_people(const fc_site *site)
{
    const fc_people of_usage = fci_people_of_usage(&site->usage);
    bool told = fci_counts_people(&of_usage);

    for (size_t i = 0; i < site->n_parts && !told; i++)
        told = site->parts[i].kind == FCI_PEOPLE
               && fci_counts_people(site->parts[i].data);
    return told;
}

/* What is known in one state alone would be saved, or spent, as a whole. */
static void
add_volumes(const struct fci_fixture *f, bool used,
            const double volume[FC_STATES], double n, double sum[FC_STATES],
            struct fci_year *year)
{
    bool known = true;

    for (int s = 0; s < FC_STATES; s++)
        known = known && !isnan(volume[s]);
    if (!known && used && (f->valve[FC_EXISTING] || f->valve[FC_RETROFIT]))
        year->left_out = f->given->name;
    year->counts = year->counts || known;
    for (int s = 0; s < FC_STATES && known; s++)
        sum[s] += n * volume[s];
}

static bool
is_on(const struct fci_making *m, const struct fci_corner *c, size_t side)
{
    for (size_t k = 0; k < m->n_parting; k++)
        if (c->at[m->parting[k]] != (side >> k & 1 ? 1 : -1))
            return false;
    return true;
}

/* Where there are several sides the middle is on none of them. */
static void
stretch_side(const struct fci_making *m, fc_range *range, double value,
             bool middle)
{
    const double nominal = range->nominal;

    if (m->n_parting == 0 || !middle)
        fci_stretch(range, value, middle);
    if (m->n_parting > 0)
        range->nominal = middle ? value : nominal;
}

static void
add_to_sides(const struct fci_making *m, const struct fci_corner *c,
             size_t fixture, int s, const struct fci_outcome *o, bool middle)
{
    const double n = fci_how_many(&m->site->fixtures[fixture], c);

    for (size_t side = 0; side < (size_t)1 << m->n_parting; side++) {
        struct fci_all_uses *all = &m->all[side][s][fixture];

        if (!middle && !is_on(m, c, side))
            continue;
        stretch_side(m, &all->count, n, middle);
        stretch_side(m, &all->flushes, n * o->flushes, middle);
        stretch_side(m, &all->hygiene, n * o->hygiene, middle);
        stretch_side(m, &all->volume, n * o->volume, middle);
        stretch_side(m, &all->volume_a_day, n * o->volume_a_day, middle);
    }
}

static void
take_corner(struct fci_making *m, const struct fci_corner *c, bool people,
            struct fci_use *uses[FC_STATES], struct fci_year *year)
{
    struct fci_day_uses left;
    double sum[FC_STATES] = { 0, 0 };
    bool middle = true;

    fci_count_sharing(m, c);
    left = fci_left_to_share(m, c);

    for (size_t k = 0; k < FCI_UNKNOWNS; k++)
        middle = middle && c->at[k] == 0;
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];
        double volume[FC_STATES] = { NAN, NAN };

        for (int s = 0; s < FC_STATES; s++) {
            struct fci_use *use = &uses[s][i];
            struct fci_outcome o;

            if (!f->given->uses_per_day.given
                && (!people || f->kind->used == FCI_USED_OTHERWISE))
                continue;
            o = fci_work_out_year(m, i, (fc_state)s, &left, c);
            volume[s] = o.volume;
            use->given = true;
            fci_stretch(&use->uses, o.uses, middle);
            fci_stretch(&use->flushes, o.flushes, middle);
            fci_stretch(&use->hygiene, o.hygiene, middle);
            fci_stretch(&use->days, o.days, middle);
            fci_stretch(&use->volume, o.volume, middle);
            fci_stretch(&use->volume_a_day, o.volume_a_day, middle);
            fci_stretch(&use->per_flush, o.per_flush, middle);
            add_to_sides(m, c, i, s, &o, middle);
        }
        add_volumes(f, uses[0][i].given, volume, fci_how_many(f, c), sum,
                    year);
        fci_stretch(&m->all[0][FC_EXISTING][i].saved,
                    fci_how_many(f, c)
                        * (volume[FC_EXISTING] - volume[FC_RETROFIT]),
                    middle);
    }
    for (int s = 0; s < FC_STATES; s++)
        fci_stretch(&year->volume[s], sum[s], middle);
    fci_stretch(&year->saved, sum[FC_EXISTING] - sum[FC_RETROFIT], middle);
    year->homeless = year->homeless
                     || (left.men_closet > 0 && !m->sharing.for_men)
                     || (left.women_closet > 0 && !m->sharing.for_women)
                     || (left.urinal > 0 && !m->urinals);
}

/* The built-in figures of uses are no ranges; those of other tables may be. */
static bool
is_usual_wide(const fc_site *site)
{
    return !fci_is_exact(fci_usual_range(site, FCI_USUAL_WOMAN_CLOSET))
           || !fci_is_exact(fci_usual_range(site, FCI_USUAL_MAN_CLOSET))
           || !fci_is_exact(fci_usual_range(site, FCI_USUAL_MAN_URINAL));
}

/* Which of them is a range that bears on something; two of them alone. */
static void
find_unknowns(struct fci_making *m)
{
    const fc_people of_usage = fci_people_of_usage(&m->site->usage);
    const fc_people *p = &of_usage;

    for (size_t i = 0; i <= m->site->n_parts; i++) {
        if (i > 0 && m->site->parts[i - 1].kind != FCI_PEOPLE)
            continue;
        if (i > 0)
            p = m->site->parts[i - 1].data;
        m->varies[FCI_PEOPLE_COUNTED] |= !fci_is_exact(p->people)
                                         || !fci_is_exact(p->men)
                                         || !fci_is_exact(p->women);
        m->varies[FCI_MEN_AMONG_THEM] |= p->people.given;
        m->varies[FCI_USES_OF_EACH] |=
            is_usual_wide(m->site) || !fci_is_exact(p->uses_per_day)
            || !fci_is_exact(p->closet_uses) || !fci_is_exact(p->urinal_uses);
        m->varies[FCI_DAYS_OF_USE] |=
            !fci_is_exact(fci_days_of(m, p->days_per_year));
    }
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        const struct fci_fixture *f = &m->site->fixtures[i];

        m->varies[FCI_OWN_USES] |= !fci_is_exact(f->given->uses_per_day);
        m->varies[f->given->uses_per_day.given ? FCI_OWN_COUNTED
                                               : FCI_FIXTURES_COUNTED] |=
            !fci_is_exact(f->many);
        for (int s = 0; s < FC_STATES; s++) {
            const fc_valve *v = f->valve[s];
            const bool sensor = fci_is_sensor(f, (fc_state)s);

            m->varies[FCI_FLUSHES_PER_USE] |=
                sensor && !v->flushes_per_use.given;
            m->varies[FCI_LONG_STAYS] |=
                v && v->reduced_flush.given && !v->reduced_share.given;
            m->varies[FCI_IDLE_SPELLS] |= sensor;
            m->varies[FCI_SELF_FLUSHING] |= sensor && !v->hygiene_flush.given;
            m->varies[FCI_FALSE_FLUSHES] |=
                sensor && !fci_is_exact(m->site->usage.false_flushes);
        }
    }
}

/* Fixtures with uses of their own leave others what is left, but no less than
 * none: then no end of these needs to be the worst, and nothing is parted. */
static void
find_sides(struct fci_making *m)
{
    static const enum fci_unknown both[] = { FCI_MEN_AMONG_THEM,
                                             FCI_FIXTURES_COUNTED };

    for (size_t i = 0; i < m->site->n_fixtures; i++)
        if (m->site->fixtures[i].given->uses_per_day.given)
            return;
    for (size_t k = 0; k < 2; k++)
        if (m->varies[both[k]])
            m->parting[m->n_parting++] = both[k];
}

static double
width(fc_range range)
{
    return range.given ? range.high - range.low : 0;
}

static void
take_ends(struct fci_making *m, const size_t *varying, size_t n, bool people,
          struct fci_use *uses[FC_STATES], struct fci_year *year)
{
    struct fci_corner c = { { 0 } };

    for (size_t bits = 0; bits < (size_t)1 << n; bits++) {
        for (size_t i = 0; i < n; i++)
            c.at[varying[i]] = bits >> i & 1 ? 1 : -1;
        take_corner(m, &c, people, uses, year);
    }
}

/* All corners of what varies; the middle first.  What bounds the hygiene
 * flushes is found by a round of its own, of the corners alone. */
static void
take_corners(struct fci_making *m, bool people,
             struct fci_use *uses[FC_STATES], struct fci_year *year)
{
    size_t varying[FCI_UNKNOWNS], n = 0;
    struct fci_corner c = { { 0 } };

    for (size_t k = 0; k < FCI_UNKNOWNS; k++)
        if (m->varies[k])
            varying[n++] = k;
    if (!m->bounded) {
        take_ends(m, varying, n, people, uses, year);
        return;
    }
    take_corner(m, &c, people, uses, year);
    year->weighs = FCI_UNKNOWNS;
    for (size_t i = 0; i < n; i++) {
        struct fci_year alone = { .saved = fc_exactly(year->saved.nominal) };

        for (int end = -1; end <= 1; end += 2) {
            c.at[varying[i]] = (signed char)end;
            take_corner(m, &c, people, uses, &alone);
        }
        c.at[varying[i]] = 0;
        if (width(alone.saved) > width(year->saved_by_it)) {
            year->saved_by_it = alone.saved;
            year->weighs = (enum fci_unknown)varying[i];
        }
    }
    take_ends(m, varying, n, people, uses, year);
}

/* Fixtures with uses of their own leave the less to the others the more they
 * are used, one more and another one less: what bounds each fixture bounds
 * their sum, and no corner needs to. */
static void
widen(const struct fci_making *m, struct fci_year *year)
{
    const bool ranges = m->varies[FCI_OWN_USES] || m->varies[FCI_OWN_COUNTED];
    fc_range volume[FC_STATES] = { { 0 } }, saved = { 0 };

    if (!ranges)
        return;
    for (size_t i = 0; i < m->site->n_fixtures; i++) {
        if (!m->all[0][FC_EXISTING][i].saved.given)
            continue;
        for (int s = 0; s < FC_STATES; s++)
            fci_range_add(&volume[s], m->all[0][s][i].volume);
        fci_range_add(&saved, m->all[0][FC_EXISTING][i].saved);
    }
    for (int s = 0; s < FC_STATES; s++)
        fci_range_hull(&volume[s], year->volume[s]);
    for (int s = 0; s < FC_STATES; s++)
        year->volume[s] = volume[s];
    fci_range_hull(&saved, year->saved);
    year->saved = saved;
}

/* Room for the uses of all fixtures, afresh. */
static bool
make_room(struct fci_making *m, struct fci_arena *arena,
          struct fci_use *uses[FC_STATES])
{
    const size_t n = m->site->n_fixtures + 1;

    for (int s = 0; s < FC_STATES; s++) {
        uses[s] = fci_arena_array(arena, n, sizeof *uses[s]);
        if (!m->bounded)
            m->bounds[s] = fci_arena_array(arena, n, sizeof *m->bounds[s]);
        for (size_t side = 0; side < (size_t)1 << m->n_parting; side++)
            m->all[side][s] =
                fci_arena_array(arena, n, sizeof *m->all[side][s]);
    }
    return !arena->failed;
}

fc_status
fci_year_make(const fc_site *site, struct fci_arena *arena,
              struct fci_year *year)
{
    const struct fci_corner middle = { { 0 } };
    struct fci_making m = { .site = site };
    struct fci_use *uses[FC_STATES];
    const bool people = tells_people(site);
    bool told = people;

    m.days = fci_days_of_building(&m);
    m.hours = fci_range_times(
        fci_or_usual(site, site->usage.hours_per_day, FCI_USUAL_HOURS),
        1 / FCI_DAY);

    *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
    for (size_t i = 0; i < site->n_fixtures; i++)
        told = told || site->fixtures[i].given->uses_per_day.given;
    if (told) {
        fci_count_sharing(&m, &middle);
        find_unknowns(&m);
        find_sides(&m);
    }
    if (!make_room(&m, arena, uses))
        return FC_ENOMEM;
    if (told) {
        take_corners(&m, people, uses, year);
        for (int s = 0; s < FC_STATES; s++)
            for (size_t i = 0; i < site->n_fixtures; i++)
                fci_bound_hygiene(&m, i, (fc_state)s);
        m.bounded = true;
        *year = (struct fci_year){ .weighs = FCI_UNKNOWNS };
        if (!make_room(&m, arena, uses))
            return FC_ENOMEM;
        take_corners(&m, people, uses, year);
        widen(&m, year);
    }
    year->told = told;
    year->n_sides = (size_t)1 << m.n_parting;
    for (int s = 0; s < FC_STATES; s++) {
        year->uses[s] = uses[s];
        for (size_t side = 0; side < year->n_sides; side++)
            year->all[side][s] = m.all[side][s];
    }
    return FC_OK;
}
