/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_others.c -- demands, prices, readings and claims. */
#include "site/resolve.h"
#include "units/units.h"

/* Each fixture once: of one named again it cannot be told whether it flushes
 * as often as both say together, or whether one of them is a slip. */
static void
resolve_named_once(struct fci_resolve *r, const struct fci_part *part,
                   const char *key, const fc_flushing *list, size_t fixture)
{
    struct fci_naming *named = &r->named[fixture];

    if (named->list != list) {
        *named = (struct fci_naming){ list, false };
        return;
    }
    if (!named->twice)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, key,
                             "names \"%.60s\" twice; each fixture once is "
                             "expected",
                             r->site->fixtures[fixture].given->name));
    named->twice = true;
}

static void
resolve_flushing_count(struct fci_resolve *r, const struct fci_part *part,
                       const char *key, const fc_flushing *flushing,
                       size_t fixture)
{
    const struct fci_fixture *group = &r->site->fixtures[fixture];

    if (group->given->count == 0 && !group->many.given
        && fci_part_has_key(group->part, "count"))
        return; /* not understood, which was said */
    if (flushing->count == 0 && group->many.given)
        fci_resolve_note(
            r,
            fci_part_fail(part, r->messages, key,
                          "\"%.60s\" is %.0f or up to %.0f fixtures; how "
                          "many of them is expected, such as %.0f of %.60s",
                          flushing->fixture, group->many.low, group->many.high,
                          group->many.low, flushing->fixture));
    if (flushing->count > group->count)
        fci_resolve_note(
            r,
            fci_part_fail(part, r->messages, key,
                          "\"%d of %.60s\" is more than the count of "
                          "that fixture; a number up to %d is expected",
                          flushing->count, flushing->fixture, group->count));
}

static void
resolve_flushing(struct fci_resolve *r, const struct fci_part *part,
                 const char *key, const fc_flushing *flushing, size_t n)
{
    size_t i, fixture;

    for (i = 0; i < n && r->worst != FC_ENOMEM; i++) {
        fixture = fci_resolve_fixture(r, part, key, flushing[i].fixture);
        if (fixture == FCI_NONE)
            continue;
        resolve_flushing_count(r, part, key, &flushing[i], fixture);
        resolve_named_once(r, part, key, flushing, fixture);
    }
}

/* The fixture at `at`, or FCI_NONE: there is none. */
static size_t
timed_fixture(const struct fci_resolve *r, const fc_reading *reading)
{
    const size_t part = fci_site_find_index(r->site, FCI_FIXTURE, reading->at);

    return part != FCI_NO_NAME && r->site->parts[part].kind == FCI_FIXTURE
               ? r->place_of[part]
               : FCI_NONE;
}

static bool
flushes_in(const fc_reading *reading)
{
    fc_flushing timed;
    size_t i, n;
    const fc_flushing *list = fci_reading_flushing(reading, &timed, &n);

    for (i = 0; i < n; i++)
        if (list[i].fixture && fci_same_name(list[i].fixture, reading->at))
            return true;
    return false;
}

/* The outlet that a container was filled from was open.  Nothing is filled
 * from a flush valve: that was from something beside it. */
static void
open_filled(struct fci_resolve *r, fc_reading *reading)
{
    const size_t fixture = timed_fixture(r, reading);
    fc_flushing *open;

    if (!reading->filled_volume.given || reading->n_flushing > 0
        || fixture == FCI_NONE || reading->state > FC_RETROFIT
        || r->site->fixtures[fixture].valve[reading->state])
        return;
    open = fci_arena_array(&r->site->arena, 1, sizeof *open);
    if (!open) {
        fci_resolve_note(r, FC_ENOMEM);
        return;
    }
    *open = (fc_flushing){ .fixture = reading->at, .count = 1 };
    reading->flushing = open;
    reading->n_flushing = 1;
}

/* A timed flush is a flow only where the volume of it is known. */
static void
resolve_flush_time(struct fci_resolve *r, const struct fci_part *part,
                   const fc_reading *reading)
{
    const size_t fixture = timed_fixture(r, reading);
    const fc_valve *valve;

    if (fixture == FCI_NONE) {
        if (fci_site_find_index(r->site, FCI_PIPE, reading->at) != FCI_NO_NAME)
            fci_resolve_note(
                r, fci_part_fail(
                       part, r->messages, "flush time",
                       "is of \"%.60s\", which is not a fixture; \"at\" with "
                       "the fixture that was timed is expected",
                       reading->at));
        return;
    }
    valve = r->site->fixtures[fixture].valve[reading->state];
    if (!valve && r->worst != FC_OK)
        return; /* its valve was not found, which was said */
    if (!valve || !valve->full_flush.given)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "flush time",
                             "is of \"%.60s\", whose flush volume is not "
                             "known; a valve with \"full flush\" is expected",
                             reading->at));
    else if (!flushes_in(reading))
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "flush time",
                             "is of \"%.60s\", which is not among what "
                             "flushes; \"flushing\" with it is expected",
                             reading->at));
}

static void
resolve_gauge(struct fci_resolve *r, const struct fci_part *part,
              const fc_reading *reading)
{
    const fc_gauge *gauge = fci_gauge_of(r, part, reading->gauge);

    if (gauge && gauge->full_scale.given && reading->pressure.given
        && reading->pressure.nominal > gauge->full_scale.nominal)
        fci_resolve_note(
            r, fci_part_fail(part, r->messages, "pressure",
                             "is above the full scale of gauge %.60s; a "
                             "pressure that it can show is expected",
                             gauge->name));
}

static void
resolve_reading(struct fci_resolve *r, const struct fci_part *part)
{
    fc_reading *reading = part->data;

    if (reading->at)
        open_filled(r, reading);
    if (reading->at
        && fci_site_find_index(r->site, FCI_PIPE, reading->at) == FCI_NO_NAME)
        fci_resolve_note(r, fci_site_unknown(r->site, part, "at", reading->at,
                                             FCI_PIPE,
                                             "a fixture, a pipe or other "
                                             "element",
                                             r->messages));
    resolve_gauge(r, part, reading);
    resolve_flushing(r, part, fci_reading_open_key(part), reading->flushing,
                     reading->n_flushing);
    if (reading->flush_time.given && reading->at && r->worst != FC_ENOMEM)
        resolve_flush_time(r, part, reading);
}

static void
resolve_claim(struct fci_resolve *r, const struct fci_part *part)
{
    const fc_claim *claim = part->data;

    fci_resolve_fixture(r, part, "fixture", claim->fixture);
    resolve_flushing(r, part, "while", claim->flushing, claim->n_flushing);
}

/* The key of a price in the file, for its line; NULL: made by a call. */
static const char *
price_key(const struct fci_part *part, double nominal)
{
    fc_range size;
    size_t i;

    for (i = 0; part->section && i < part->section->n_entries; i++)
        if (fci_read_figure(part->section->entries[i].key, FC_SIZE, false,
                            &size, NULL)
            && size.nominal >= nominal && size.nominal <= nominal)
            return part->section->entries[i].key;
    return NULL;
}

static void
resolve_price_sizes(struct fci_resolve *r, const struct fci_part *part,
                    const struct fci_material *material)
{
    const fc_prices *prices = part->data;
    const char *key;
    fc_status status;
    size_t i;

    for (i = 0; i < prices->n_prices; i++) {
        const double nominal = prices->prices[i].size.nominal;

        if (fci_material_size(material, nominal))
            continue;
        key = price_key(part, nominal);
        if (key)
            status = fci_part_fail(
                part, r->messages, key,
                "is not a size of %s; a size of that material is expected",
                material->head.name);
        else
            status = fci_part_fail(
                part, r->messages, NULL,
                "has a price for %s, which is not a size of %s; a size of "
                "that material is expected",
                fci_show(FC_US, FC_SIZE, nominal).text, material->head.name);
        fci_resolve_note(r, status);
    }
}

static void
resolve_prices(struct fci_resolve *r, const struct fci_part *part)
{
    const fc_prices *prices = part->data;
    const struct fci_material *material;

    if (!prices->material)
        return;
    material = fci_resolve_material(r, part, prices->material);
    if (material)
        resolve_price_sizes(r, part, material);
}

static void
resolve_demand(struct fci_resolve *r, const struct fci_part *part)
{
    const fc_demand *demand = part->data;
    struct fci_draw *draw = &r->site->draws[r->site->n_draws++];

    draw->name = part->name;
    draw->part = part;
    draw->flow = demand->flow;
    draw->element = fci_resolve_element(r, part, "on", demand->on);
}

static bool
make_draws(struct fci_resolve *r)
{
    fc_site *site = r->site;
    size_t i, n = 0;

    for (i = 0; i < site->n_parts; i++)
        n += site->parts[i].kind == FCI_DEMAND;
    site->draws = fci_arena_array(&site->arena, n, sizeof *site->draws);
    return site->draws || fci_resolve_note(r, FC_ENOMEM);
}

static bool
make_named(struct fci_resolve *r)
{
    r->named = fci_arena_array(&r->site->arena, r->site->n_fixtures + 1,
                               sizeof *r->named);
    return r->named || fci_resolve_note(r, FC_ENOMEM);
}

void
fci_resolve_others(struct fci_resolve *r)
{
    size_t i;

    if (!make_draws(r) || !make_named(r))
        return;
    for (i = 0; i < r->site->n_parts && r->worst != FC_ENOMEM; i++) {
        const struct fci_part *part = &r->site->parts[i];

        switch (part->kind) {
        case FCI_DEMAND:
            resolve_demand(r, part);
            break;
        case FCI_PRICES:
            resolve_prices(r, part);
            break;
        case FCI_READING:
            resolve_reading(r, part);
            break;
        case FCI_CLAIM:
            resolve_claim(r, part);
            break;
        default:
            break;
        }
    }
}
