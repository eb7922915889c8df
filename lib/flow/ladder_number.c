/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/flow/ladder_number.c -- how many valves may be open. */
#include "flow/ladder_work.h"
#include "flow/worst_set.h"

static void
found_starving(struct fci_ladder *l, struct fci_finding *f, size_t n,
               double pressure)
{
    fci_ladder_keep(l);
    f->starving = n;
    f->pressure = pressure;
}

/* About twice as many; first as many as the first table tells apart. */
static size_t
more_than(size_t others)
{
    const size_t more = 2 * others + 1, told = FCI_FIRST_COUNTED - 1;

    return others < told && told < more ? told : more;
}

/* By what is asked of the source; it goes on until that does not tell. */
static fc_status
find_by_asking(struct fci_ladder *l, struct fci_finding *f, size_t others)
{
    const size_t valves = (size_t)l->n_valves;
    const double asked = l->least - FCI_SOLVED_TO;
    fc_status status = FC_OK;
    size_t fine = 0, k;
    double pressure;

    while (status == FC_OK && f->known < valves
           && fine < fci_ladder_finest(l)) {
        others = others < valves - 1 ? others : valves - 1;
        others = others < FCI_MOST_COUNTED - 1 ? others : FCI_MOST_COUNTED - 1;
        if (others < f->known)
            break;
        status = fci_ladder_ask(l, fine, asked, others);
        if (l->work == 0)
            break;
        for (k = f->known; status == FC_OK && k <= others
                           && !(fci_worst_asked(l->worst, k) > 0);
             k++)
            f->known = k + 1;
        if (status != FC_OK || k > others) {
            others = more_than(others);
            fine = 0;
            continue;
        }
        status = fci_ladder_try(l, k, &pressure);
        if (status == FC_OK && fci_ladder_short(pressure, l->least)) {
            found_starving(l, f, k + 1, pressure);
            break;
        }
        others = k;
        fine++;
    }
    return status;
}

/* By solving every set. */
static fc_status
find_by_trying(struct fci_ladder *l, struct fci_finding *f)
{
    fc_status status = FC_OK;
    double pressure;

    while (status == FC_OK && f->known < (size_t)l->n_valves
           && f->starving == 0) {
        status = fci_ladder_every(l, f->known + 1, &pressure);
        if (status != FC_OK)
            break;
        if (fci_ladder_short(pressure, l->least)) {
            fci_all_sets_worst(l->sets, f->known + 1, l->set, &l->n_set);
            found_starving(l, f, f->known + 1, pressure);
        } else {
            f->known++;
        }
    }
    return status == FC_EUNSUPPORTED ? FC_OK : status;
}

/* A set that starves it, where all of them do: about the fewest of the
 * nearest. */
static fc_status
find_some(struct fci_ladder *l, struct fci_finding *f)
{
    size_t low = f->known, high = low, step = 1;
    fc_status status = FC_OK;
    bool starves = false;
    double pressure;

    while (status == FC_OK && (!starves || high - low > 1)) {
        size_t n = low + (high - low) / 2;

        if (!starves) {
            n = low + step;
            n = n < (size_t)l->n_valves ? n : (size_t)l->n_valves;
            step *= 2;
        }
        status = fci_ladder_nearest(l, n, &pressure);
        if (status != FC_OK)
            break;
        if (fci_ladder_short(pressure, l->least) || n == (size_t)l->n_valves) {
            starves = true;
            high = n;
            found_starving(l, f, n, pressure);
        } else {
            low = n;
        }
    }
    return status;
}

/* ---- In turn ----------------------------------------------------------- */

static fc_status
pressure_alone(struct fci_ladder *l, double *pressure)
{
    l->set[0] = (struct fci_open){ l->fixture, 1 };
    l->n_set = 1;
    return fci_ladder_solve(l, pressure);
}

fc_status
fci_ladder_find(struct fci_ladder *l, struct fci_finding *f, bool all)
{
    const size_t valves = (size_t)l->n_valves;
    fc_status status = pressure_alone(l, &l->pressures[0]);
    double left;
    int surely;

    if (status != FC_OK)
        return status;
    if (fci_ladder_short(l->pressures[0], l->least)) {
        found_starving(l, f, 1, l->pressures[0]);
        return FC_OK;
    }
    f->known = all ? valves : 1;
    if (l->parts && !all) {
        status = fci_ladder_surely(l, l->fixture, l->end, l->least,
                                   FCI_MOST_COUNTED, &surely, &left);
        if (status == FC_OK && f->known < (size_t)surely)
            f->known = (size_t)surely;
        if (surely >= FCI_FIRST_COUNTED && l->work <= FCI_LITTLE_WORK)
            l->work = 0; /* it would not do */
        if (status == FC_OK && l->work > 0)
            status = find_by_asking(l, f, (size_t)surely + 1);
    }
    if (status == FC_OK && f->starving == 0)
        status = find_by_trying(l, f);
    if (status == FC_OK && f->starving == 0 && f->known < valves)
        status = find_some(l, f);
    return status;
}
