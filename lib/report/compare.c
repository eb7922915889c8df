/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/compare.c -- several buildings checked, to stand side by side. */
#include "ground/memory.h"
#include "ground/call.h"
#include "report/check_text.h"
#include "report/report.h"
#include "report/words.h"
#include "size/cost.h"
#include "variants/setting.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

struct comparison {
    fc_comparison told; /* the first, so that it stands for all of it */
    fc_compared_building *list; /* malloc'ed */
    size_t room;
    fc_site *base; /* the first that could be calculated */
    size_t n_files;
};

struct job {
    struct comparison *made;
    struct fci_arena *arena;
    const fc_sites_options *options;
};

static const char *
kept(struct job *job, const char *text)
{
    return text ? fci_arena_string(job->arena, text) : NULL;
}

/* ---- One state -------------------------------------------------------- */

static void
add_fixtures(const fc_check_result *result, fc_state state,
             fc_compared_state *out)
{
    for (size_t i = 0; i < result->n_fixtures; i++) {
        const fc_checked_fixture *f = &result->fixtures[i];
        const fc_fixture_state *end = &f->states[state];
        const fc_chance *weak = &end->busy.weak;

        if (end->too_high != FC_WORKS)
            out->n_too_high += (size_t)f->count;
        if (!weak->given
            || (out->weak.given
                && fci_most_weak(&end->busy) <= out->weak.estimate))
            continue;
        out->weak = end->busy.weak_worst.given ? end->busy.weak_worst : *weak;
    }
}

static const fc_compared_zone *
zones_of(struct job *job, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    fc_compared_zone *zones =
        fci_arena_array(job->arena, s->n_zones + 1, sizeof *zones);

    for (size_t i = 0; zones && i < s->n_zones; i++) {
        zones[i].reducer = kept(job, s->zones[i].reducer);
        if (s->zones[i].governing >= result->n_fixtures)
            continue;
        zones[i].governing =
            kept(job, result->fixtures[s->zones[i].governing].name);
        zones[i].margin =
            result->fixtures[s->zones[i].governing].states[state].margin;
    }
    return zones;
}

static fc_compared_state
state_of(struct job *job, const fc_check_result *result, fc_state state)
{
    const fc_checked_state *s = &result->states[state];
    const fc_at_once *at_once = s->at_once;
    fc_compared_state out = {
        .works = s->works,
        .too_high = s->too_high,
        .working = s->working,
        .failing = s->failing,
        .unclear = s->unclear,
        .valves = at_once ? at_once->valves : 0,
        .at_once_low = at_once ? at_once->low : 0,
        .at_once_high = at_once ? at_once->high : 0,
        .at_once_limit = at_once ? at_once->limit : FC_NO_LIMIT,
        .peak_flow = s->peak_flow,
    };

    if (s->governing < result->n_fixtures) {
        out.governing = kept(job, result->fixtures[s->governing].name);
        out.margin = result->fixtures[s->governing].states[state].margin;
    }
    add_fixtures(result, state, &out);
    for (size_t i = 0; i < result->n_pipes; i++) /* as its finding has it */
        out.over_velocity += result->pipes[i].states[state].velocity.high
                             > result->pipes[i].velocity_limit * (1 + 1e-9);
    out.zones = zones_of(job, result, state);
    out.n_zones = s->n_zones;
    return out;
}

/* ---- What differs ----------------------------------------------------- */

struct differences {
    struct job *job;
    const char **texts; /* malloc'ed */
    size_t n, room;
    bool failed;
};

static void
differ(struct differences *d, const char *text)
{
    const char **grown = fci_grow(d->texts, d->n, &d->room, sizeof *d->texts);

    d->failed |= !grown || !text;
    if (!grown)
        return;
    d->texts = grown;
    grown[d->n++] = text;
}

static const struct fci_part *
same_part(const fc_site *site, const struct fci_part *part)
{
    const struct fci_part *other = fci_site_find(site, part->kind, part->name);

    return other && other->kind == part->kind ? other : NULL;
}

/* "valve closet" */
static const char *
part_name(struct job *job, const struct fci_part *part)
{
    const char *word = fci_part_kinds[part->kind].word;

    if (fci_is_element(part->kind) || part->kind == FCI_FIXTURE)
        return part->name;
    return fci_arena_printf(job->arena, "%s%s%s", word, *part->name ? " " : "",
                            part->name);
}

static void
add_key(struct differences *d, const struct fci_part *part, const char *key,
        const char *was, const char *is)
{
    const char *name = part_name(d->job, part);

    differ(d, name ? fci_arena_printf(d->job->arena, "%s.%s: %s -> %s", name,
                                      key, was, is)
                   : NULL);
}

static void
add_keys(struct differences *d, const struct fci_part *was,
         const struct fci_part *is)
{
    for (size_t i = 0; i < is->section->n_entries; i++) {
        const struct fci_entry *e = &is->section->entries[i];
        const struct fci_entry *b = fci_section_entry(was->section, e->key);

        if (!b || strcmp(b->value, e->value) != 0)
            add_key(d, is, e->key, b ? b->value : "not given", e->value);
    }
    for (size_t i = 0; i < was->section->n_entries; i++) {
        const struct fci_entry *b = &was->section->entries[i];

        if (!fci_section_entry(is->section, b->key))
            add_key(d, is, b->key, b->value, "not given");
    }
}

static void
add_parts(struct differences *d, const fc_site *base, const fc_site *site)
{
    for (size_t i = 0; i < site->n_parts; i++) {
        const struct fci_part *is = &site->parts[i];
        const struct fci_part *was = same_part(base, is);

        if (was)
            add_keys(d, was, is);
        else
            differ(d, fci_arena_printf(d->job->arena, "%s added",
                                       part_name(d->job, is)));
    }
    for (size_t i = 0; i < base->n_parts; i++)
        if (!same_part(site, &base->parts[i]))
            differ(d, fci_arena_printf(d->job->arena, "%s taken out",
                                       part_name(d->job, &base->parts[i])));
}

/* Of the same file: what is set tells it, a typical floor once. */
static void
add_set(struct differences *d, const fc_site *site)
{
    for (size_t i = 0; i < site->n_set; i++) {
        const struct fci_setting *set = &site->set[i];

        differ(d, set->key ? fci_arena_printf(d->job->arena, "%s.%s: %s -> %s",
                                              set->part, set->key,
                                              set->differs ? "differs by floor"
                                              : set->was   ? set->was
                                                           : "not given",
                                              set->value)
                           : fci_arena_printf(d->job->arena, "%s taken out",
                                              set->part));
    }
}

static bool
same_file(const fc_site *a, const fc_site *b)
{
    return fc_site_digest(a) && fc_site_digest(b)
           && strcmp(fc_site_digest(a), fc_site_digest(b)) == 0;
}

/* ---- What it costs ---------------------------------------------------- */

/* Each site has tables of its own, and a length may be written in another
 * unit. */
#define SAME_LENGTH 1e-6 /* m */

static bool
same_pipe(const struct fci_pipe *a, const struct fci_pipe *b)
{
    return a->size && b->size && a->material && b->material
           && fabs(a->size->nominal - b->size->nominal) < SAME_LENGTH
           && fci_same_name(a->material->head.name, b->material->head.name)
           && fabs(a->length.nominal - b->length.nominal) < SAME_LENGTH;
}

static const struct fci_pipe *
pipe_named(const fc_site *site, const char *name)
{
    for (size_t i = 0; i < site->n_elements; i++)
        if (site->elements[i].pipe
            && fci_same_name(site->elements[i].name, name))
            return site->elements[i].pipe;
    return NULL;
}

/* Nothing where the building has no prices, or one of the pipes has none. */
static fc_status
find_cost(struct job *job, const fc_site *site, fc_compared_building *out)
{
    struct fci_costs costs = { 0 };
    const fc_site *base = job->made->base;
    fc_status status = fci_costs_make(&costs, site, job->arena, NULL);
    size_t n = 0;
    double sum = 0;

    for (size_t i = 0; i < site->n_elements && status == FC_OK; i++) {
        const struct fci_pipe *pipe = site->elements[i].pipe;
        const struct fci_pipe *was =
            pipe ? pipe_named(base, site->elements[i].name) : NULL;

        if (!pipe || (was && same_pipe(pipe, was)))
            continue;
        n++;
        sum += pipe->size && pipe->material && costs.n_lists > 0
                       && fci_is_priced(&costs, pipe)
                   ? fci_cost_at(&costs, pipe, pipe->size)
                   : INFINITY;
    }
    out->priced = n > 0 && isfinite(sum);
    out->cost = out->priced ? sum : NAN;
    return status == FC_ENOMEM ? status : FC_OK;
}

/* ---- One building ----------------------------------------------------- */

static fc_status
keep_differences(struct job *job, const fc_site *site,
                 fc_compared_building *out)
{
    struct differences d = { .job = job };
    fc_status status = FC_OK;

    if (job->made->base->n_set == 0 && same_file(job->made->base, site))
        add_set(&d, site);
    else
        add_parts(&d, job->made->base, site);
    if (!d.failed && d.n > 0) {
        out->differences =
            fci_arena_copy(job->arena, d.texts, d.n * sizeof *d.texts);
        out->n_differences = d.n;
        status = out->differences ? find_cost(job, site, out) : FC_ENOMEM;
    }
    free(d.texts);
    return d.failed ? FC_ENOMEM : status;
}

static fc_status
keep_result(struct job *job, fc_site *site, const fc_check_result *result,
            fc_compared_building *out)
{
    out->calculated = true;
    out->judged = fci_judged_state(result);
    out->works = result->works;
    out->too_high = result->too_high;
    for (int s = 0; s <= (int)out->judged; s++)
        out->states[s] = state_of(job, result, (fc_state)s);
    out->set = fci_set_values(site, job->arena, &out->n_set);
    if (!job->made->base) {
        job->made->told.units = result->units;
        return job->arena->failed ? FC_ENOMEM : FC_OK;
    }
    return job->arena->failed ? FC_ENOMEM : keep_differences(job, site, out);
}

/* Why it is not calculated. */
static void
keep_errors(struct job *job, const fc_diagnostics *messages, fc_status status,
            fc_compared_building *out)
{
    const size_t n = fc_diagnostics_count(messages);
    const char **errors = fci_arena_array(job->arena, n + 1, sizeof *errors);

    for (size_t i = 0; errors && i < n; i++) {
        const fc_diagnostic m = fc_diagnostics_at(messages, i);
        const char *file = m.file ? m.file : out->path;

        errors[i] = m.line > 0
                        ? fci_arena_printf(job->arena, "%s:%d: %s", file,
                                           m.line, m.text)
                        : fci_arena_printf(job->arena, "%s: %s", file, m.text);
    }
    if (errors && n == 0)
        errors[0] = fc_status_text(status);
    out->errors = errors;
    out->n_errors = n > 0 ? n : 1;
    job->made->told.n_broken++;
}

/* What was read, or why it could not be, becomes one of the buildings.  The
 * messages are taken, the site is borrowed. */
static fc_status
add_building(struct job *job, fc_compared_building building, fc_site *site,
             fc_diagnostics *messages, fc_status status)
{
    struct comparison *made = job->made;
    fc_compared_building *grown = fci_grow(made->list, made->told.n_buildings,
                                           &made->room, sizeof *grown);
    fc_check_result *result = NULL;

    if (!grown || !messages) {
        fc_diagnostics_free(messages);
        return FC_ENOMEM;
    }
    made->list = grown;
    building.path = kept(job, building.path);
    building.name = kept(job, building.name);
    if (!building.title && site && building.of != FC_VARIANT_CASE)
        building.title = fc_site_title(site);
    building.title = kept(job, building.title);
    if (site)
        building.digest = kept(job, fc_site_digest(site));
    if (status == FC_OK && job->options->in_units)
        fc_site_set_units(site, job->options->units);
    if (status == FC_OK)
        status = fc_check_with(site, &job->options->check, &result, messages);
    if (status == FC_OK)
        status = keep_result(job, site, result, &building);
    fc_check_result_free(result);
    if (!building.calculated)
        keep_errors(job, messages, status, &building);
    building.messages = messages;
    grown[made->told.n_buildings++] = building;
    return status == FC_ENOMEM || job->arena->failed ? FC_ENOMEM : FC_OK;
}

static void
let_go(struct job *job, fc_site *site)
{
    if (site != job->made->base)
        fc_site_free(site);
}

/* The first that is calculated is what the others differ from. */
static void
choose_base(struct job *job, fc_site *site)
{
    const struct comparison *made = job->made;

    if (!made->base && made->told.n_buildings > 0
        && made->list[made->told.n_buildings - 1].calculated)
        job->made->base = site;
}

static fc_status
add_cases(struct job *job, const fc_site_file *file, const fc_site *site)
{
    fc_status status = FC_OK;

    for (size_t i = 0; i < fc_site_cases(site) && status == FC_OK; i++) {
        const fc_compared_building building = {
            .path = file->path,
            .of = FC_VARIANT_CASE,
            .name = fc_site_case_name(site, i),
            .title = fc_site_case_title(site, i),
        };
        fc_diagnostics *messages = fc_diagnostics_new();
        fc_site *changed = NULL;

        status =
            messages ? fc_site_case(site, i, &changed, messages) : FC_ENOMEM;
        status = add_building(job, building, changed, messages, status);
        fc_site_free(changed);
    }
    return status;
}

static fc_status
add_sets(struct job *job, const fc_site_file *file)
{
    fc_status status = FC_OK;

    for (size_t i = 0; i < job->options->n_settings && status == FC_OK; i++) {
        const char *const setting[] = { job->options->settings[i] };
        const fc_compared_building building = { .path = file->path,
                                                .of = FC_VARIANT_SET,
                                                .name = setting[0] };
        fc_diagnostics *messages = fc_diagnostics_new();
        fc_site *site = NULL;

        status = messages
                     ? fci_read_site(NULL, file->path, file->text,
                                     file->length, setting, 1, &site, messages)
                     : FC_ENOMEM;
        status = add_building(job, building, site, messages, status);
        choose_base(job, site);
        let_go(job, site);
    }
    return status;
}

/* A file as it is, its cases, and what is set over it. */
static fc_status
add_file(struct job *job, const fc_site_file *file)
{
    const fc_compared_building building = { .path = file->path,
                                            .of = FC_VARIANT_FILE,
                                            .name = file->path };
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    fc_status status = messages ? fci_read_bare(file->path, file->text,
                                                file->length, &site, messages)
                                : FC_ENOMEM;

    status = add_building(job, building, site, messages, status);
    choose_base(job, site);
    if (status == FC_OK && site)
        status = add_cases(job, file, site);
    let_go(job, site);
    return status == FC_OK ? add_sets(job, file) : status;
}

static void
add_up(struct comparison *made)
{
    made->told.buildings = made->list;
    for (size_t i = 0; i < made->told.n_buildings; i++)
        if (made->list[i].calculated) {
            made->told.works =
                fci_worse_verdict(made->told.works, made->list[i].works);
            made->told.too_high =
                fci_worse_verdict(made->told.too_high, made->list[i].too_high);
        }
}

fc_status
fc_compare(const fc_site_file *files, size_t n,
           const fc_sites_options *options, fc_comparison **result)
{
    if (FCI_REFUSES(NULL, FCI_FILES(files, n), FCI_SITES_OPTIONS(options),
                    FCI_GIVEN(result)))
        return FC_EINPUT;

    static const fc_sites_options defaults;
    struct comparison *made = fci_object_new(sizeof *made);
    struct job job = { .made = made,
                       .options = options ? options : &defaults };
    fc_status status = made ? FC_OK : FC_ENOMEM;

    if (made) {
        made->n_files = n;
        job.arena = fci_arena_of(made);
        made->told.works = made->told.too_high = FC_WORKS;
    }
    for (size_t i = 0; i < n && status == FC_OK; i++)
        status = add_file(&job, &files[i]);
    if (status == FC_OK) {
        add_up(made);
        *result = &made->told;
    } else if (made) {
        made->told.buildings = made->list;
        fc_comparison_free(&made->told);
    }
    return status;
}

const fc_site *
fci_compared_site(const fc_comparison *told)
{
    const struct comparison *made = (const struct comparison *)told;

    return made->n_files == 1 && made->base && made->base->n_set == 0
               ? made->base
               : NULL;
}

void
fc_comparison_free(fc_comparison *told)
{
    struct comparison *made = (struct comparison *)told;

    if (!told)
        return;
    for (size_t i = 0; i < told->n_buildings; i++)
        fc_diagnostics_free((fc_diagnostics *)made->list[i].messages);
    fc_site_free(made->base);
    free(made->list);
    fci_object_free(made);
}
