/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/causes.c -- what might be, each with one unknown. */
#include "diagnose/fault_kinds.h"
#include "site/tree.h"

#include <math.h>
#include <stdlib.h>

/* Less does not count: common practice. */
#define LEAST_FLOW 6.30901964e-07 /* 0.01 gpm [m3/s]; NIST SP 811 */

/* ---- Listing ----------------------------------------------------------- */

bool
fci_fault_add(struct fci_listing *l, const struct fci_fault *fault)
{
    struct fci_faults *f = l->faults;
    struct fci_fault *grown =
        fci_grow(f->list, f->n, &f->room, sizeof *f->list);

    if (!grown)
        return false;
    f->list = grown;
    grown[f->n++] = *fault;
    return true;
}

struct fci_fault
fci_fault_at(const struct fci_listing *l, size_t element)
{
    const struct fci_usual_fault *usual = l->usual;
    const double scale = usual->scale.given ? usual->scale.nominal : 1;

    return (struct fci_fault){
        .kind = l->kind,
        .usual = usual,
        .element = element,
        .last = element,
        .fixture = FCI_NONE,
        .gauge = FCI_NONE,
        .of_gauge = FCI_NONE,
        .seen = 1,
        .scale = scale,
        .least = usual->range.given ? usual->range.low / scale : -HUGE_VAL,
        .most = usual->range.given ? usual->range.high / scale : HUGE_VAL,
        .prior = usual->prior.nominal
    };
}

bool
fci_fault_flowed(const struct fci_listing *l, size_t at)
{
    return l->flows[at] >= LEAST_FLOW;
}

static bool
is_kept(const struct fci_listing *l, size_t at)
{
    return l->trial->here[at] != FCI_NONE;
}

/* ---- Runs of pipes ----------------------------------------------------- */

/* Pipes of one material one behind the other, nothing that is kept between. */
static void
find_runs(struct fci_listing *l)
{
    const fc_site *site = l->readings->site;
    size_t i;

    for (i = 0; i < site->n_elements; i++)
        if (is_kept(l, i) && site->elements[i].parent != FCI_NONE)
            l->kept[site->elements[i].parent]++;
    for (i = 0; i < site->n_elements; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;
        const struct fci_pipe *pipe = site->elements[at].pipe;

        l->top[at] = FCI_NONE;
        if (!is_kept(l, at) || !pipe || !fci_fault_flowed(l, at))
            continue;
        l->top[at] = at;
        if (l->kept[parent] == 1 && l->top[parent] != FCI_NONE
            && site->elements[parent].pipe->material == pipe->material)
            l->top[at] = l->top[parent];
        l->end[l->top[at]] = at;
    }
}

/* ---- Outlets ----------------------------------------------------------- */

static size_t
leaves_at(const void *of, size_t fixture)
{
    const struct fci_listing *l = of;

    return l->hangs[l->readings->site->fixtures[fixture].element];
}

/* By the element where they leave what is kept: fixtures in one list, those of
 * an element one after the other. */
static void
sort_outlets(struct fci_listing *l)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;
    size_t i;

    for (i = 0; i < n; i++) {
        const size_t at = site->order[i], parent = site->elements[at].parent;

        l->hangs[at] =
            is_kept(l, at) || parent == FCI_NONE ? at : l->hangs[parent];
    }
    for (i = 0; i < site->n_draws; i++)
        l->drawn[l->hangs[site->draws[i].element]] = true;
    fci_list_hanging(l->outlets, n, l->faults->outlets, site->n_fixtures,
                     leaves_at, l);
}

/* ---- All kinds --------------------------------------------------------- */

static void
take_kind(struct fci_listing *l, size_t k)
{
    l->kind = fci_fault_kinds[k];
    l->usual = fci_tables_fault(l->readings->site->tables, l->kind->kind);
}

static bool
list_elements(struct fci_listing *l)
{
    const struct fci_element *elements = l->readings->site->elements;
    bool room = true;
    size_t i, k;

    for (i = 0; i < l->readings->site->n_elements; i++)
        for (k = 0; is_kept(l, i) && fci_fault_kinds[k] && room; k++) {
            take_kind(l, k);
            if (l->kind->parts & FCI_AT(elements[i].part->kind))
                room = l->kind->list_at(l, i);
        }
    return room;
}

/* Each that flushed, once. */
static bool
list_flushed(struct fci_listing *l)
{
    const struct fci_readings *r = l->readings;
    bool *flushed = calloc(r->site->n_fixtures + 1, sizeof *flushed);
    bool room = flushed != NULL;
    size_t e, i, k;

    for (e = 0; e < r->n_events; e++)
        for (i = 0; i < r->events[e].n && room; i++) {
            const size_t fixture = r->events[e].open[i].fixture;

            for (k = 0; fci_fault_kinds[k] && room && !flushed[fixture]; k++) {
                take_kind(l, k);
                room = !l->kind->list_flushed
                       || !r->site->fixtures[fixture].valve[r->state]
                       || l->kind->list_flushed(l, fixture);
            }
            flushed[fixture] = true;
        }
    free(flushed);
    return room;
}

static bool
list_all(struct fci_listing *l)
{
    bool room = list_elements(l);
    size_t k;

    for (k = 0; fci_fault_kinds[k] && room; k++) {
        take_kind(l, k);
        room = !l->kind->list_runs || l->kind->list_runs(l);
    }
    room = room && list_flushed(l);
    for (k = 0; fci_fault_kinds[k] && room; k++) {
        take_kind(l, k);
        room = !l->kind->list_rest || l->kind->list_rest(l);
    }
    return room;
}

/* ---- The whole --------------------------------------------------------- */

static bool
make_listing(struct fci_listing *l)
{
    const fc_site *site = l->readings->site;
    const size_t n = site->n_elements;

    l->hangs = calloc(n, sizeof *l->hangs);
    l->outlets = calloc(n + 2, sizeof *l->outlets);
    l->drawn = calloc(n, sizeof *l->drawn);
    l->kept = calloc(n, sizeof *l->kept);
    l->top = calloc(n, sizeof *l->top);
    l->end = calloc(n, sizeof *l->end);
    l->faults->outlets = calloc(site->n_fixtures + 1, sizeof(size_t));
    return l->hangs && l->outlets && l->drawn && l->kept && l->top && l->end
           && l->faults->outlets;
}

static void
free_listing(struct fci_listing *l)
{
    free(l->hangs);
    free(l->outlets);
    free(l->drawn);
    free(l->kept);
    free(l->top);
    free(l->end);
}

fc_status
fci_faults_list(struct fci_faults *faults, const struct fci_readings *readings,
                const struct fci_fault_trial *trial,
                const struct fci_looks *looks, const double *flows)
{
    struct fci_listing l = { .faults = faults,
                             .readings = readings,
                             .trial = trial,
                             .looks = looks,
                             .flows = flows };
    bool room = make_listing(&l);

    if (room) {
        sort_outlets(&l);
        find_runs(&l);
        room = list_all(&l);
    }
    free_listing(&l);
    fci_looks_weigh(looks, faults);
    return room ? FC_OK : FC_ENOMEM;
}

void
fci_faults_free(struct fci_faults *faults)
{
    free(faults->list);
    free(faults->outlets);
}
