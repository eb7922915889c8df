/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/check_one.c -- the check of one fixture of a building.
 *
 * It is judged as among all of them, and of the others is worked out what its
 * verdict and its findings need alone.
 */
#include "check/checking.h"
#include "check/settle.h"

/* The states that are judged: in short the one that is asked about. */
static unsigned
judged_states(const struct fci_checking *c, const struct fci_one *one)
{
    return one->told && !c->options->in_short ? fci_all_states(c)
                                              : FC_IN(one->state);
}

static fc_status
run_events(struct fci_checking *c, const struct fci_one *one, unsigned states)
{
    const struct fci_fixture *fixture = &c->site->fixtures[one->fixture];
    struct fci_only only = { .fixture = one->fixture, .told = one->told };
    int state;

    for (state = 0; state < FC_STATES; state++)
        if (states & FC_IN(state))
            only.short_at_peak[state] =
                fci_judge_fixture(c->judge, fixture, (fc_state)state).pressure
                == FC_WILL_NOT_WORK;
    return fci_run_events(c, states, &only);
}

/* In the order of a check of all. */
static void
find_on_way(struct fci_checking *c, const struct fci_one *one, unsigned states)
{
    int state;

    for (state = 0; state < FC_STATES; state++) {
        if (!(states & FC_IN(state)))
            continue;
        if (!c->options->in_short)
            fci_find_spare(&c->words, c->result, (fc_state)state);
        fci_find_elements(&c->words, (fc_state)state, one->fixture);
    }
    fci_find_untested_main(&c->words);
    fci_find_overrides(&c->words);
    /* what it does to the fixture is left out in short */
    fci_assume_all(&c->words, c->options->in_short ? FCI_NONE : one->fixture,
                   one->state);
    for (state = 0; state < FC_STATES; state++)
        if ((states & FC_IN(state)) && c->events[state].views)
            fci_find_events_on_way(&c->words, &c->events[state],
                                   (fc_state)state, one->fixture);
    fci_assume_events(&c->words, c->events);
}

static fc_status
settle(struct fci_checking *c, const struct fci_one *one)
{
    fc_checked_state *s = &c->result->states[one->state];

    return s->works == FC_CANNOT_TELL && !fci_is_refuted(c)
                   && !c->options->no_proviso
               ? fci_settle_check(c->judge, one->state, one->fixture,
                                  c->options, c->arena, &s->proviso,
                                  c->messages)
               : FC_OK;
}

static fc_status
run(struct fci_checking *c, const struct fci_one *one)
{
    const unsigned states = judged_states(c, one);
    fc_check_result *result = c->result;
    fc_checked_fixture *fixture = fci_arena_alloc(c->arena, sizeof *fixture);
    fc_status status = fixture ? run_events(c, one, states) : FC_ENOMEM;
    int state;

    if (status != FC_OK)
        return status;
    fci_take_heading(c);
    if (!fci_take_minima(c))
        return FC_ENOMEM;
    fci_check_fixture(c, &c->site->fixtures[one->fixture], states, fixture);
    if (c->arena->failed)
        return FC_ENOMEM;
    result->fixtures = fixture;
    result->n_fixtures = 1;
    for (state = 0; state < FC_STATES; state++)
        if (states & FC_IN(state))
            fci_check_state(c, (fc_state)state);
    result->works = fixture->states[one->state].works;
    result->too_high = fixture->states[one->state].too_high;
    if (one->told)
        find_on_way(c, one, states);
    fci_tell_readings(c);
    status = settle(c, one);
    return status == FC_OK && one->told ? fci_take_told(c) : status;
}

fc_status
fci_check_one(const struct fci_judge *judge, const struct fci_one *one,
              const fc_check_options *options, struct fci_arena *arena,
              const fc_check_result **result, fc_diagnostics *messages)
{
    static const fc_check_options defaults = { 0 };
    struct fci_checking c = { .site = judge->site,
                              .options = options ? options : &defaults,
                              .messages = messages };
    struct fci_evidence evidence;
    fc_check_result *made = fci_arena_alloc(arena, sizeof *made);
    fc_status status = made ? FC_OK : FC_ENOMEM;

    fci_checking_begin(&c, judge, made, arena);
    if (status == FC_OK)
        status = fci_evidence_make(&evidence, c.site, arena);
    c.evidence = &evidence;
    if (status == FC_OK)
        status = run(&c, one);
    fci_checking_end(&c);
    if (status == FC_OK)
        *result = made;
    return status;
}
