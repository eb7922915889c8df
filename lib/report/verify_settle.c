/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/report/verify_settle.c -- what would settle a claim that is undecided:
 * what to read or measure next, and while what flows. */
#include "report/verify_report.h"

#define SAY(...) fci_arena_printf(&doc->arena, __VA_ARGS__)

/* Between which figures the gauge that was read does not decide: so far from
 * the claim as it may be off. */
static const char *
settle_near(struct fci_doc *doc, const fc_checked_claim *c)
{
    return SAY("%s read %s, too near to %s for a gauge within %s. Read again "
               "with a closer gauge: with this one %s or more supports the "
               "claim, less than %s contradicts it",
               c->reading, fci_support_said(doc, c, c->read).text,
               fci_support_said(doc, c, c->claimed).text,
               fci_support_said(doc, c, c->within).text,
               fci_support_said(doc, c, c->claimed + c->within).text,
               fci_support_said(doc, c, c->claimed - c->within).text);
}

/* " (51.3 gpm)": what flows meanwhile, so that a reading is taken at it. */
static struct fci_figure
flow_of(const struct fci_doc *doc, const fc_checked_claim *c)
{
    struct fci_figure f = { "" };

    if (c->flow > 0.0)
        snprintf(f.text, sizeof f.text, " (%.40s)",
                 fci_figure_said(doc->units, FC_FLOW, c->flow).text);
    return f;
}

/* A gauge under the claim's own condition, or under one that can be had. */
static const char *
settle_by_gauge(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->can_be_read)
        return SAY("Read a gauge at %s while %s%s%s: it decides where it is "
                   "farther from %s than its accuracy",
                   c->fixture, c->event, flow_of(doc, c).text,
                   c->state == FC_RETROFIT ? ", retrofit valves in place" : "",
                   fci_support_said(doc, c, c->claimed).text);
    if (c->condition != FC_WHILE_PEAK)
        return SAY("Read a gauge at %s while the same valves flush%s, and "
                   "enter it with its \"flushing\": it is carried to the "
                   "supply of that day",
                   c->fixture, flow_of(doc, c).text);
    if (c->carried_reading && c->carried_flows)
        return SAY(
            "No gauge can be read at peak demand%s, and %s, carried to "
            "it, leaves it open: read one while about as much flows, or "
            "claim a stated number of valves",
            flow_of(doc, c).text, c->carried_reading);
    return SAY("No gauge can be read at peak demand%s: read one at %s while "
               "about as much flows, and enter it with its \"flushing\"; it "
               "is carried to the peak",
               flow_of(doc, c).text, c->fixture);
}

/* What is in the way of the model, and what would help; "" where a gauge is
 * all. */
static const char *
settle_model(struct fci_doc *doc, const fc_checked_claim *c)
{
    if (c->why_not)
        return SAY("It cannot be computed: %s. ", c->why_not);
    if (c->refuted_by)
        return SAY("The %s the file as entered; \"flushcalc diagnose\" tells "
                   "what may explain it. ",
                   fci_support_misfit(doc, c));
    if (c->unproved)
        return SAY("%s has no flow test: test it. ", c->unproved);
    if (fci_support_is_drawn_down(c))
        return SAY("%s. ", c->drawn_down);
    if (fci_support_is_split(c))
        return SAY("It is computed as %s, and %s, carried to it, says "
                   "otherwise. ",
                   fci_support_word(c->by_model), c->carried_reading);
    if (c->rests_on)
        return SAY("Measure the %s. ", c->rests_on);
    if (c->decided_by)
        return SAY("A closer figure for the %s would narrow it (%s of the "
                   "variance). ",
                   c->decided_by, fci_support_percent(c->share, 0).text);
    return "";
}

static const char *
settle_case(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *model, *gauge;

    if (c->holds)
        return SAY("It %s", c->holds);
    if (c->not_flowing)
        return c->not_flowing;
    if (c->against)
        return SAY("%s and %s cannot both be true: read both again",
                   c->reading, c->against);
    if (c->reading)
        return settle_near(doc, c);
    model = settle_model(doc, c);
    gauge = settle_by_gauge(doc, c);
    return model && gauge ? SAY("%s%s", model, gauge) : NULL;
}

const char *
fci_verify_settle(struct fci_doc *doc, const fc_checked_claim *c)
{
    const char *text = settle_case(doc, c);

    return text ? SAY("%s: %s.", c->name, text) : NULL;
}
