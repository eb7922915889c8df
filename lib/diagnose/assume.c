/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/diagnose/assume.c -- what a diagnosis takes for granted, in words. */
#include "diagnose/diagnose.h"
#include "diagnose/words.h"
#include "check/refuse.h"
#include "check/words.h"

#define MOST_RANGES 8 /* told by name */

/* What is assumed of. */
struct assuming {
    const struct fci_readings *readings;
    const bool *flushed; /* by fixture */
};

static bool
has_generic(const struct fci_check_words *w, const struct fci_fixture *fixture,
            const void *data)
{
    const struct assuming *a = data;
    const fc_site *site = w->judge->site;

    return a->flushed[fixture - site->fixtures]
           && fixture->generic[a->readings->state];
}

static const char *
range_words(const struct fci_check_words *w, const struct fci_input *input)
{
    const char *words =
        fci_span_words(w->found.arena, w->judge->site, input->dimension,
                       input->given.low, input->given.high);

    return words ? words : "";
}

/* What has no unit, a C apart, is a figure of the method alone. */
static bool
is_bare(const struct fci_input *input)
{
    return input->dimension == FC_NUMBER && input->row->measured != FCI_IN_C;
}

static const char *
plain_what(const struct fci_input *input)
{
    switch (input->row->measured) {
    case FCI_IN_SHAPE:
        return "(how its loss grows with the flow)";
    case FCI_IN_SCALE:
        return "(scale in its bore)";
    default:
        return input->what;
    }
}

/* "street static pressure 48.0 to 56.0 psi, wing length 40.0 to 60.0 ft" */
static void
assume_ranges(struct fci_check_words *w, const struct fci_variant *variant)
{
    struct fci_words words = { w->found.arena, "", 0 };
    size_t i, n = 0;

    for (i = 0; i < variant->n_inputs; i++) {
        const struct fci_input *input = &variant->inputs[i];

        if (input->cause == FCI_OWN_PART || n++ >= MOST_RANGES)
            continue;
        fci_say(&words, ", ", "%s %s%s%s", input->name, plain_what(input),
                is_bare(input) ? "" : " ",
                is_bare(input)   ? ""
                : input->differs ? "within its tolerance"
                                 : range_words(w, input));
    }
    if (n > MOST_RANGES)
        fci_say(&words, " ", "and %zu more", n - MOST_RANGES);
    if (n > 0 && words.text)
        fci_assume(&w->found, "fitted within the range entered, or usual: %s",
                   words.text);
}

static void
assume_flow(struct fci_check_words *w, const struct assuming *a)
{
    const char *generic = fci_name_some(w, has_generic, a);

    fci_assume_valves(&w->found);
    fci_assume_generic(&w->found, generic);
    fci_assume_stops(&w->found);
    fci_assume_others(&w->found);
}

fc_status
fci_diagnose_assume(const struct fci_readings *readings,
                    const struct fci_variant *variant, struct fci_arena *arena,
                    fc_diagnosis *out)
{
    const fc_site *site = readings->site;
    const struct fci_judge judge = { .site = site,
                                     .converted = fci_has_conversions(site) };
    struct fci_check_words w = { .judge = &judge,
                                 .found = { .units = site->settings.units,
                                            .arena = arena } };
    bool *flushed =
        fci_arena_array(arena, site->n_fixtures + 1, sizeof *flushed);
    const struct assuming a = { readings, flushed };
    struct fci_told told = { 0 };
    fc_status status = FC_ENOMEM;
    size_t e, i;

    if (!flushed)
        return FC_ENOMEM;
    for (e = 0; e < readings->n_events; e++)
        for (i = 0; i < readings->events[e].n; i++)
            flushed[readings->events[e].open[i].fixture] = true;
    fci_find_overrides(&w);
    assume_ranges(&w, variant);
    fci_assume_amendments(&w);
    if (readings->n_events > 1 || readings->events[0].n > 0)
        assume_flow(&w, &a);
    fci_assume(&w.found,
               "a gauge reads at the outlet of an element, or at the inlet "
               "of a fixture's valve, downstream of its stop");
    status = fci_findings_take(&w.found, &told);
    fci_findings_free(&w.found);
    out->assumptions = told.assumptions;
    out->n_assumptions = told.n_assumptions;
    out->overrides = told.overrides;
    out->n_overrides = told.n_overrides;
    return status;
}
