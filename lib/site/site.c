/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/site.c -- a site and the parts it is built of. */
#include "site/site.h"
#include "ground/call.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

bool
fci_is_exact(fc_range range)
{
    return !range.given || range.low >= range.high;
}

bool
fci_has_conversions(const fc_site *site)
{
    size_t i;

    for (i = 0; i < site->n_fixtures; i++)
        if (site->fixtures[i].converted)
            return true;
    return false;
}

double
fci_less_is_worse(fc_range range, enum fci_end end)
{
    return end == FCI_NOMINAL ? range.nominal
           : end == FCI_WORST ? range.low
                              : range.high;
}

double
fci_more_is_worse(fc_range range, enum fci_end end)
{
    return end == FCI_NOMINAL ? range.nominal
           : end == FCI_WORST ? range.high
                              : range.low;
}

int
fci_fixture_count(const struct fci_fixture *fixture, enum fci_end end)
{
    return fixture->many.given
               ? (int)lround(fci_more_is_worse(fixture->many, end))
               : fixture->count;
}

fc_site *
fc_site_new(void)
{
    return calloc(1, sizeof(fc_site));
}

void
fc_site_free(fc_site *site)
{
    size_t i;
    int kind;

    if (!site)
        return;
    for (i = 0; site->elements && i < site->n_elements; i++) {
        fci_curve_free(site->elements[i].curve);
        fci_curve_free(site->elements[i].lower);
    }
    for (i = 0; i < site->n_feed; i++) {
        fci_curve_free(site->feed[i].curve);
        fci_curve_free(site->feed[i].lower);
    }
    for (i = 0; site->fixtures && i < site->n_fixtures; i++) {
        fci_curve_free(site->fixtures[i].stop_curve);
        fci_curve_free(site->fixtures[i].stop_lower);
    }
    fci_tables_free(site->tables);
    for (kind = 0; kind < FCI_KINDS; kind++)
        fci_names_free(&site->names[kind]);
    if (site->ini)
        fci_ini_free(site->ini);
    free(site->ini);
    free(site->parts);
    fci_arena_free(&site->arena);
    free(site);
}

bool
fci_is_element(enum fci_kind kind)
{
    return fci_part_kinds[kind].element;
}

/* The kind whose table of names a kind shares. */
static enum fci_kind
namespace_of(enum fci_kind kind)
{
    return fci_is_element(kind) || kind == FCI_FIXTURE ? FCI_PIPE : kind;
}

size_t
fci_site_find_index(const fc_site *site, enum fci_kind kind, const char *name)
{
    return fci_names_find(&site->names[namespace_of(kind)], name);
}

const struct fci_part *
fci_site_find(const fc_site *site, enum fci_kind kind, const char *name)
{
    size_t i = fci_site_find_index(site, kind, name);

    return i == FCI_NO_NAME ? NULL : &site->parts[i];
}

/* Behind a number at p, or NULL. */
static const char *
skip_number(const char *p)
{
    p += *p == '-';
    if (!(*p >= '0' && *p <= '9'))
        return NULL;
    while (*p >= '0' && *p <= '9')
        p++;
    return p;
}

/* Whether a name is that of a heading, where a brace stands for any floor. */
static bool
may_be_headed(const char *heading, const char *name)
{
    while (*heading && name) {
        if (*heading == '{' && strchr(heading, '}')) {
            heading = strchr(heading, '}') + 1;
            name = skip_number(name);
        } else if (fci_lower(*heading) != fci_lower(*name)) {
            return false;
        } else {
            heading++;
            name++;
        }
    }
    return name && !*name;
}

bool
fci_site_may_have(const fc_site *site, const char *name)
{
    size_t i;

    for (i = 0; i < site->n_doubtful; i++)
        if (may_be_headed(site->doubtful[i]->name, name))
            return true;
    return false;
}

/* Whether a section without a name may be meant by the word that heads it,
 * which is said of that section. */
static bool
is_headed_so(const fc_site *site, const char *name)
{
    const enum fci_kind kind = fci_part_kind_of(name);
    size_t i;

    for (i = 0; kind != FCI_KINDS && i < site->n_parts; i++)
        if (site->parts[i].kind == kind && !*site->parts[i].name)
            return true;
    return false;
}

fc_status
fci_site_unknown(fc_site *site, const struct fci_part *part, const char *key,
                 const char *name, enum fci_kind kind, const char *what,
                 fc_diagnostics *messages)
{
    struct fci_nearest nearest = fci_nearest_to(name);

    site->unread = true;
    if (fci_site_may_have(site, name) || is_headed_so(site, name))
        return FC_EINPUT;
    if (fci_failure_has_room(messages))
        fci_nearest_try_names(&nearest, &site->names[namespace_of(kind)]);
    if (fci_nearest_word(&nearest))
        return fci_part_fail(part, messages, key,
                             "\"%.60s\" is not in this file; %s is expected; "
                             "did you mean \"%s\"?",
                             name, what, fci_nearest_word(&nearest));
    return fci_part_fail(part, messages, key,
                         "\"%.60s\" is not in this file; %s is expected", name,
                         what);
}

/* ---- Adding parts ----------------------------------------------------- */

/* Of two sections of one name with {floor}. */
static bool
same_floor(const struct fci_section *a, const struct fci_section *b)
{
    return a && b && a->typical && b->typical && b->line > 0
           && a->floor == b->floor && strcmp(a->kind, b->kind) == 0;
}

static fc_status
name_taken(const struct fci_part *part, const struct fci_part *first,
           fc_diagnostics *messages)
{
    struct fci_heading heading =
        fci_heading(fci_part_headed(first), first->name);

    if (same_floor(part->section, first->section))
        return fci_part_fail(part, messages, NULL,
                             "is on floor %d, which the section of that name "
                             "on line %d has already; each floor is expected "
                             "in one of them",
                             part->section->floor, first->section->line);
    if (first->section && first->section->line > 0)
        return fci_part_fail(part, messages, NULL,
                             "has a name that %s on line %d has taken; each "
                             "name is expected once",
                             heading.text, first->section->line);
    return fci_part_fail(part, messages, NULL,
                         "has a name that %s has taken; each name is "
                         "expected once",
                         heading.text);
}

fc_status
fci_site_enter(fc_site *site, const struct fci_part *part,
               fc_diagnostics *messages)
{
    size_t i = site->n_parts;
    struct fci_part *parts =
        fci_grow(site->parts, i, &site->parts_room, sizeof *parts);
    bool known = false;

    if (!parts)
        return FC_ENOMEM;
    site->parts = parts;
    parts[i] = *part;
    if (fci_names_enter(&site->names[namespace_of(part->kind)], part->name, &i,
                        &known)
        != FC_OK)
        return FC_ENOMEM;
    if (known) {
        site->broken = true;
        if (!*part->name && fci_part_kinds[part->kind].named)
            return FC_EINPUT; /* neither has a name, which is said of both */
        return name_taken(part, &parts[i], messages);
    }
    site->n_parts++;
    return FC_OK;
}

fc_status
fci_site_keep(fc_site *site, const struct fci_part *part,
              fc_diagnostics *messages)
{
    const fc_status checked = fci_part_check(part, messages);
    fc_status status;

    if (checked == FC_ENOMEM)
        return checked;
    if (checked != FC_OK)
        site->broken = true;
    status = fci_site_enter(site, part, messages);
    return status != FC_OK ? status : checked;
}

/* What a part needs is looked for in its section; without one its struct is
 * all there is to look at.  Prices were read anew as a whole. */
fc_status
fci_site_check_changed(const fc_site *site, fc_diagnostics *messages)
{
    fc_status status, worst = FC_OK;
    size_t i;

    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        const struct fci_part_kind *kind = &fci_part_kinds[part->kind];

        if (!part->changed)
            continue;
        if (part->section && !kind->rows) {
            status = fci_fields_missing(kind->fields, kind->n_fields,
                                        part->section, NULL, messages);
            worst = status != FC_OK ? status : worst;
        }
        status = fci_part_check_changed(part, messages);
        worst = status != FC_OK ? status : worst;
        if (worst == FC_ENOMEM)
            return worst;
    }
    return worst;
}

/* Whom a message names: the part is not known. */
static struct fci_heading
call_of(enum fci_kind kind)
{
    return fci_heading(fci_part_kinds[kind].word, "");
}

/* One that is refused is not kept: what it holds may be anything. */
static fc_status
add(fc_site *site, struct fci_part *part, const void *data,
    fc_diagnostics *messages)
{
    const struct fci_argument given = FCI_NAMED("part", data);
    fc_status status;

    if (fci_call_refused(messages, call_of(part->kind).text, &given, 1))
        return FC_EINPUT;
    if (fci_part_kinds[part->kind].named)
        memcpy(&part->name, data, sizeof part->name);
    if (!part->name)
        part->name = "";
    status = fci_part_check_given(part, data, messages);
    if (status != FC_OK)
        return status;
    part->data = fci_part_copy(part->kind, data, &site->arena);
    if (!part->data)
        return FC_ENOMEM;
    if (fci_part_kinds[part->kind].named)
        memcpy(&part->name, part->data, sizeof part->name);
    return fci_site_enter(site, part, messages);
}

fc_status
fci_site_add(fc_site *site, enum fci_kind kind, const void *data,
             fc_diagnostics *messages)
{
    const struct fci_argument given = FCI_GIVEN(site);
    struct fci_part part = { .kind = kind, .name = "" };
    fc_status status;

    if (fci_call_refused(messages, call_of(kind).text, &given, 1))
        return FC_EINPUT;
    if (site->finished)
        return fci_fail(messages, FC_ESTATE, NULL, 0,
                        "the site is finished; parts are added before that");
    status = add(site, &part, data, messages);
    if (status != FC_OK)
        site->broken = true;
    return status;
}

fc_status
fc_site_set(fc_site *site, const fc_settings *settings,
            fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_SITE, settings, messages);
}

fc_status
fc_site_add_source(fc_site *site, const fc_source *source,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_SOURCE, source, messages);
}

fc_status
fc_site_add_pipe(fc_site *site, const fc_pipe *pipe, fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_PIPE, pipe, messages);
}

fc_status
fc_site_add_device(fc_site *site, const fc_device *device,
                   fc_diagnostics *messages)
{
    enum fci_kind kind = FCI_DEVICE;
    int i;

    for (i = 0; device && i < FCI_KINDS; i++)
        if (fci_part_kinds[i].device
            && *fci_part_kinds[i].device == device->kind)
            kind = (enum fci_kind)i;
    return fci_site_add(site, kind, device, messages);
}

fc_status
fc_site_add_reducer(fc_site *site, const fc_reducer *reducer,
                    fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_REDUCER, reducer, messages);
}

fc_status
fc_site_add_pump(fc_site *site, const fc_pump *pump, fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_PUMP, pump, messages);
}

fc_status
fc_site_add_pressure_tank(fc_site *site, const fc_pressure_tank *tank,
                          fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_PRESSURE_TANK, tank, messages);
}

fc_status
fc_site_add_fixture(fc_site *site, const fc_fixture *fixture,
                    fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_FIXTURE, fixture, messages);
}

fc_status
fc_site_add_valve(fc_site *site, const fc_valve *valve,
                  fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_VALVE, valve, messages);
}

fc_status
fc_site_add_demand(fc_site *site, const fc_demand *demand,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_DEMAND, demand, messages);
}

fc_status
fc_site_add_prices(fc_site *site, const fc_prices *prices,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_PRICES, prices, messages);
}

fc_status
fc_site_add_heater(fc_site *site, const fc_heater *heater,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_HEATER, heater, messages);
}

fc_status
fc_site_add_reading(fc_site *site, const fc_reading *reading,
                    fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_READING, reading, messages);
}

fc_status
fc_site_add_gauge(fc_site *site, const fc_gauge *gauge,
                  fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_GAUGE, gauge, messages);
}

fc_status
fc_site_add_look(fc_site *site, const fc_look *look, fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_LOOK, look, messages);
}

fc_status
fc_site_add_claim(fc_site *site, const fc_claim *claim,
                  fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_CLAIM, claim, messages);
}

fc_status
fc_site_set_fix_prices(fc_site *site, const fc_fix_prices *prices,
                       fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_FIX_PRICES, prices, messages);
}

fc_status
fc_site_add_people(fc_site *site, const fc_people *people,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_PEOPLE, people, messages);
}

fc_status
fc_site_set_usage(fc_site *site, const fc_usage *usage,
                  fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_USAGE, usage, messages);
}

fc_status
fc_site_set_floors(fc_site *site, const fc_floors *floors,
                   fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_FLOORS, floors, messages);
}

fc_status
fc_site_set_tolerance(fc_site *site, const fc_tolerance *tolerance,
                      fc_diagnostics *messages)
{
    return fci_site_add(site, FCI_TOLERANCE, tolerance, messages);
}

void
fc_site_set_units(fc_site *site, fc_unit_system units)
{
    if (!site || !FCI_IS_ENUM(units, FC_SI))
        return;
    site->settings.units = units;
    site->units_set = true;
}

fc_unit_system
fc_site_units(const fc_site *site)
{
    return site ? site->settings.units : FC_US;
}

const char *
fc_site_title(const fc_site *site)
{
    return site ? site->settings.title : NULL;
}

const fc_flushing *
fci_reading_flushing(const fc_reading *reading, fc_flushing *timed, size_t *n)
{
    if (reading->n_flushing > 0 || !reading->flush_time.given) {
        *n = reading->n_flushing;
        return reading->flushing;
    }
    *timed = (fc_flushing){ .fixture = reading->at, .count = 1 };
    *n = 1;
    return timed;
}

const char *
fci_reading_open_key(const struct fci_part *part)
{
    return part->section && fci_section_entry(part->section, "open")
               ? "open"
               : "flushing";
}

bool
fci_is_reading(const struct fci_part *part)
{
    const fc_reading *reading = part->data;

    return part->kind == FCI_READING
           && (reading->dial == FC_SEEN_NOTHING || reading->pressure.given
               || reading->flow.given);
}

const char *
fc_site_digest(const fc_site *site)
{
    return !site ? NULL : site->ini ? site->ini->digest : site->digest;
}

const char *
fc_site_tables_digest(const fc_site *site)
{
    return site && site->tables && site->tables_path
               ? fci_tables_digest(site->tables)
               : NULL;
}
