/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/cases.c -- a claim that does not say its condition, or with which
 * valves: what it comes to under all that make sense.
 *
 * The mildest of them would support what another contradicts; so it is
 * supported under all of them, or not.
 */
#include "check/checked.h"
#include "units/units.h"
#include "verify/verify.h"
#include "words/phrase.h"

#include <math.h>

/* The cases of one claim, one after the other. */
struct cases {
    const struct fci_verify *v;
    const fc_claim *given; /* as the site has it */
    const fc_checked_claim *checked;
    size_t n, step;          /* of which every step-th is told */
    bool conditions, states; /* that differ among them */
};

/* ---- One case in words ------------------------------------------------- */

static const char *
name_condition(const struct fci_verify *v, const fc_checked_claim *c)
{
    return c->condition == FC_WHILE_PEAK ? "at peak"
           : c->condition == FC_WHILE_ALONE && !c->not_flowing
               ? "flushing alone"
               : fci_arena_printf(v->arena, "while %s", c->event);
}

static const char *
name_state(fc_state state)
{
    return state == FC_RETROFIT ? "after retrofit" : "existing valves";
}

const char *
fci_claim_judged(const struct fci_verify *v, const fc_checked_claim *c)
{
    const char *condition = name_condition(v, c);

    return condition ? fci_arena_printf(v->arena, "%s, %s", condition,
                                        name_state(c->state))
                     : NULL;
}

/* What tells a case from the others. */
static const char *
name_case(const struct cases *s, const fc_checked_claim *c)
{
    if (s->conditions && s->states)
        return fci_claim_judged(s->v, c);
    return s->states ? name_state(c->state) : name_condition(s->v, c);
}

/* "flushing alone; at peak": those with this verdict. */
static const char *
name_cases(const struct cases *s, fc_support verdict, size_t *n)
{
    const char *between = s->conditions && s->states ? "; " : " and ";
    struct fci_words words = { s->v->arena, "", 0 };
    size_t i;

    for (i = 0; i < s->n; i += s->step)
        if (s->checked[i].verdict == verdict)
            fci_join(&words, between, name_case(s, &s->checked[i]));
    *n = words.n;
    return words.text;
}

/* ---- All of them ------------------------------------------------------- */

static const char *
what_to_say(const struct cases *s)
{
    return s->conditions && s->states ? "say \"while\" and \"state\""
           : s->states                ? "say \"state\""
                                      : "say \"while\"";
}

/* All four: alone and at peak, of one state and then of the other. */
static bool
is_whole(const struct cases *s)
{
    return s->n == 4;
}

/* Where the verdict hangs on the condition alone, or on the valves alone, the
 * cases that tell so. */
static struct cases
that_differ(const struct cases *s)
{
    const fc_checked_claim *c = s->checked;
    struct cases some = *s;

    if (!is_whole(s))
        return some;
    if (c[0].verdict == c[2].verdict && c[1].verdict == c[3].verdict) {
        some.n = 2;
        some.states = false;
    } else if (c[0].verdict == c[1].verdict && c[2].verdict == c[3].verdict) {
        some.step = 2;
        some.conditions = false;
    }
    return some;
}

/* "holds flushing alone, not at peak: say "while"". */
static const char *
tell_holds(const struct cases *all)
{
    const struct cases some = that_differ(all), *s = &some;
    struct fci_words words = { s->v->arena, "", 0 };
    size_t supported, contradicted, undecided;
    const char *yes = name_cases(s, FC_SUPPORTED, &supported);
    const char *no = name_cases(s, FC_CONTRADICTED, &contradicted);
    const char *open = name_cases(s, FC_UNDECIDED, &undecided);

    if (!yes || !no || !open)
        return NULL;
    if (supported > 0)
        fci_say(&words, "", "holds %s", yes);
    if (contradicted > 0)
        fci_say(&words, ", ", supported > 0 ? "not %s" : "does not hold %s",
                no);
    if (undecided > 0)
        fci_say(&words, ", ", "cannot tell %s", open);
    fci_say(&words, ": ", "%s", what_to_say(s));
    return words.text;
}

static fc_support
verdict_of(const struct cases *s)
{
    size_t i;

    for (i = 1; i < s->n; i++)
        if (s->checked[i].verdict != s->checked[0].verdict)
            return FC_UNDECIDED;
    return s->checked[0].verdict;
}

/* Contradicted before undecided before supported. */
static int
rank_of(fc_support verdict)
{
    return verdict == FC_CONTRADICTED ? 0 : verdict == FC_UNDECIDED ? 1 : 2;
}

static bool
is_harsher(const fc_checked_claim *a, const fc_checked_claim *b)
{
    if (a->verdict != b->verdict)
        return rank_of(a->verdict) < rank_of(b->verdict);
    return isnan(b->computed) || a->computed < b->computed;
}

static size_t
harshest(const struct cases *s)
{
    size_t i, worst = 0;

    for (i = 1; i < s->n; i++)
        if (is_harsher(&s->checked[i], &s->checked[worst]))
            worst = i;
    return worst;
}

/* "flushing alone and at peak, existing valves; harshest: at peak". */
static const char *
tell_judged(const struct cases *s, size_t worst)
{
    struct fci_words words = { s->v->arena, "", 0 };
    size_t i;

    if (s->n == 1)
        return fci_claim_judged(s->v, &s->checked[0]);
    if (is_whole(s))
        fci_say(&words, "",
                "flushing alone and at peak, existing valves and after "
                "retrofit");
    for (i = 0; i < s->n && !is_whole(s); i++)
        fci_join(&words, s->conditions && s->states ? "; " : " and ",
                 name_case(s, &s->checked[i]));
    if (!s->states)
        fci_say(&words, ", ", "%s", name_state(s->checked[0].state));
    if (!s->conditions)
        fci_say(&words, ", ", "%s", name_condition(s->v, &s->checked[0]));
    fci_join(&words, "; harshest: ", name_case(s, &s->checked[worst]));
    return words.text;
}

static bool
list_cases(const struct cases *s, fc_checked_claim *out)
{
    fc_claim_case *list = fci_arena_array(s->v->arena, s->n, sizeof *list);
    size_t i;

    for (i = 0; list && i < s->n; i++)
        list[i] = (fc_claim_case){
            .state = s->checked[i].state,
            .condition = s->checked[i].condition,
            .event = s->checked[i].event,
            .computed = s->checked[i].computed,
            .probability =
                s->checked[i].why_not ? NAN : s->checked[i].probability,
            .reading = s->checked[i].reading,
            .verdict = s->checked[i].verdict,
        };
    out->cases = list;
    out->n_cases = s->n;
    return list != NULL;
}

/* ---- The code's least, and the valve's --------------------------------- */

static void
take_minima(const struct fci_verify *v, const struct fci_claim *claim,
            fc_checked_claim *out)
{
    const fc_unit_system units = v->site->settings.units;
    const struct fci_fixture *fixture = &v->site->fixtures[claim->fixture];
    const struct fci_requirement need =
        fci_requirement_of(v->site, fixture, claim->given->state);
    struct fci_words words = { v->arena, "", 0 };

    out->kind = fixture->kind->head.name;
    out->code_minimum = need.code;
    out->code = isnan(need.code)
                    ? NULL
                    : fci_document(v->arena, fixture->kind->pressure_source);
    out->valve_minimum = need.valve.given ? need.valve.nominal : NAN;
    out->decimals = fci_decimals_apart(units, out->decimals, out->claimed,
                                       out->code_minimum);
    out->decimals = fci_decimals_apart(units, out->decimals, out->claimed,
                                       out->valve_minimum);
    if (out->claimed < out->code_minimum - FCI_SAME_PRESSURE)
        fci_say(&words, "", "under the code minimum of %s (%s)",
                fci_show_with(units, out->decimals, out->code_minimum).text,
                out->code ? out->code : "no source given");
    if (out->claimed < out->valve_minimum - FCI_SAME_PRESSURE)
        fci_say(&words, " and ", "under the valve minimum of %s",
                fci_show_with(units, out->decimals, out->valve_minimum).text);
    if (words.n > 0)
        out->but_under = words.text;
}

/* ---- The claims of the site -------------------------------------------- */

static bool
settle(struct cases *s, struct fci_claim *claims, fc_checked_claim *out)
{
    const size_t worst = harshest(s);
    const fc_support verdict = verdict_of(s);

    *out = s->checked[worst];
    claims[worst].shown = true;
    out->harshest = out->verdict;
    out->verdict = verdict;
    out->condition_said = s->given->condition != FC_WHILE_NOT_SAID;
    out->state_said = s->given->state_said || s->given->state != FC_EXISTING;
    out->judged = tell_judged(s, worst);
    if (verdict != s->checked[worst].verdict)
        out->holds = tell_holds(s);
    take_minima(s->v, &claims[worst], out);
    return list_cases(s, out) && out->judged;
}

static bool
settle_all(struct fci_verify *v, fc_checked_claim *out)
{
    struct cases s = { .v = v, .step = 1 };
    size_t from, to, i, part = 0;

    for (from = 0; from < v->n_claims; from = to) {
        for (to = from;
             to < v->n_claims && v->claims[to].of == v->claims[from].of; to++)
            ;
        while (v->site->parts[part].kind != FCI_CLAIM)
            part++;
        s.given = v->site->parts[part++].data;
        s.checked = &v->checked[from];
        s.n = to - from;
        s.conditions = s.states = false;
        for (i = from + 1; i < to; i++) {
            s.conditions |=
                v->checked[i].condition != v->checked[from].condition;
            s.states |= v->checked[i].state != v->checked[from].state;
        }
        if (!settle(&s, &v->claims[from], &out[v->claims[from].of]))
            return false;
    }
    return true;
}

fc_status
fci_verify_cases(struct fci_verify *v, fc_verify_result *result)
{
    fc_checked_claim *out = fci_arena_array(v->arena, v->n_given, sizeof *out);

    if (!out || !settle_all(v, out))
        return FC_ENOMEM;
    v->given = result->claims = out;
    result->n_claims = v->n_given;
    return v->arena->failed ? FC_ENOMEM : FC_OK;
}
