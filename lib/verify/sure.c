/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/verify/sure.c -- whether the draws are sure of a verdict.
 *
 * A verdict by the model stands where all of these bear it out:
 *
 *   - The chance is on its side of 95 or 5 %, and the threshold lies outside
 *     what the draws scatter by.  Where the user's draws leave that open, many
 *     more are taken of a stream that no seed chooses, and those decide: so no
 *     verdict turns on a seed.
 *   - With the inputs in the middle of their ranges the claim is reached, or
 *     missed, by more than the model itself may be off.
 *   - It is the same if all inputs of a kind, such as every rise, are off the
 *     same way.  That they are not is an assumption which many small ranges
 *     live on, and which nobody measured.
 *   - It is the same with what the file does not give at its worst, or its
 *     best: what is usual is no chance that anybody knows.
 *
 * Where the verdict would not be the same if all inputs whatever were off the
 * same way, that is said: causes of different kinds are taken to be
 * independent.
 *
 *   [W27]  E. B. Wilson, J. American Statistical Association 22 (1927)
 *          209-212: interval for a binomial proportion (from memory)
 */
#include "check/drawn.h"
#include "flow/busy_tally.h"
#include "ground/ties.h"
#include "units/units.h"
#include "verify/verify.h"

#include <math.h>
#include <string.h>

#define MOST_OF_ALL 0.95  /* supported from here on */
#define LEAST_OF_ALL 0.05 /* contradicted up to here */

/* How many standard deviations from a threshold are clear of it.  The user's
 * draws are believed at once only where one seed in millions would be wrong;
 * of those that follow, the stream of which is one, one in 100,000. */
#define CLEAR_AT_ONCE 5.0
#define CLEAR 4.4
#define BY_SAMPLING 1.959963984540054 /* 95 % of a normal distribution */
/* So many times the user's draws at most, in rounds as long as those: about
 * 0.17 percentage points around 95 and 5 % stay undecided. */
#define MOST_ROUNDS 15
/* Those in which inputs of a kind go together come in tenths of the user's. */
#define ALIKE_DIVISOR 10

/* Where a chance lies. */
enum side { UNCLEAR, MOST, SOME, FEW };

struct judging {
    struct fci_verify *v;
    struct fci_bench *bench;
    struct fci_drawing *drawing;
    fc_diagnostics *messages;
    bool *wanted;
    size_t *reach;
    struct fci_outcome *worst, *best; /* by claim */
};

/* Whether so many of n outcomes are above a threshold, below it, or neither
 * for sure, by Wilson's interval of z standard deviations: 1, -1 or 0. */
static int
compare(size_t reach, size_t n, double threshold, double z)
{
    const double part = (double)reach / (double)n;
    const double off = z * sqrt(threshold * (1 - threshold) / (double)n);

    /* [W27] the interval holds the threshold where it is no farther from the
     * part than z of the threshold's own deviations */
    return part - threshold > off ? 1 : threshold - part > off ? -1 : 0;
}

static enum side
side_of(size_t reach, size_t n, double z)
{
    const int most = compare(reach, n, MOST_OF_ALL, z);
    const int few = compare(reach, n, LEAST_OF_ALL, z);

    if (most > 0)
        return MOST;
    if (few < 0)
        return FEW;
    return most < 0 && few > 0 ? SOME : UNCLEAR;
}

static fc_support
support_by(enum side side)
{
    return side == MOST  ? FC_SUPPORTED
           : side == FEW ? FC_CONTRADICTED
                         : FC_UNDECIDED;
}

/* ---- More draws --------------------------------------------------------- */

static void
take_chance(fc_checked_claim *claim, size_t reach, size_t n)
{
    const fc_chance chance = fci_wilson((double)reach / (double)n, (double)n);

    claim->drawn = (int)n;
    claim->probability = chance.estimate;
    claim->probability_low = chance.low;
    claim->probability_high = chance.high;
}

/* Those that are wanted and still open go on. */
static size_t
settle(const struct judging *j, size_t n, bool last)
{
    size_t c, open = 0;

    for (c = 0; c < j->v->n_claims; c++) {
        fc_checked_claim *claim = &j->v->checked[c];
        enum side side;

        if (!j->wanted[c])
            continue;
        side = side_of(j->reach[c], n, CLEAR);
        take_chance(claim, j->reach[c], n);
        claim->by_model = support_by(side);
        claim->doubt = side == UNCLEAR ? FC_DOUBT_SAMPLING : FC_NO_DOUBT;
        j->wanted[c] = side == UNCLEAR && !last;
        open += j->wanted[c];
    }
    return open;
}

static fc_status
draw_more(const struct judging *j)
{
    const size_t blocks =
        (j->v->draws + FCI_VERIFY_BLOCK - 1) / FCI_VERIFY_BLOCK;
    fc_status status = FC_OK;
    size_t round, open = 1;

    memset(j->reach, 0, j->v->n_claims * sizeof *j->reach);
    for (round = 0; round < MOST_ROUNDS && open > 0 && status == FC_OK;
         round++) {
        status = fci_drawing_more(
            j->drawing, (struct fci_draw_as){ false, FCI_NOMINAL }, j->wanted,
            round * blocks, blocks, j->reach, j->messages);
        if (status == FC_OK)
            open = settle(j, (round + 1) * blocks * FCI_VERIFY_BLOCK,
                          round + 1 == MOST_ROUNDS);
    }
    return status;
}

static fc_status
judge_chances(const struct judging *j, const size_t *reach)
{
    struct fci_verify *v = j->v;
    size_t c, open = 0;

    for (c = 0; c < v->n_claims; c++) {
        enum side side;

        j->wanted[c] = false;
        if (v->claims[c].why_not)
            continue;
        side = side_of(reach[c], v->draws, CLEAR_AT_ONCE);
        v->checked[c].by_model = support_by(side);
        j->wanted[c] = side == UNCLEAR;
        open += j->wanted[c];
    }
    return open > 0 ? draw_more(j) : FC_OK;
}

/* ---- What else must bear it out ---------------------------------------- */

static bool
reaches(const fc_checked_claim *claim, const struct fci_outcome *outcome)
{
    return outcome->pressure >= claim->claimed - FCI_SOLVED_TO;
}

/* Every claim with the inputs as the bench has them. */
static fc_status
run(const struct judging *j, struct fci_outcome *outcomes)
{
    return fci_bench_run(j->bench, false, outcomes, j->messages);
}

static void
doubt(fc_checked_claim *claim, fc_doubt why)
{
    claim->by_model = FC_UNDECIDED;
    claim->doubt = why;
}

/* Both with the model off by all that it may; `usual`: and what nobody
 * measured at its ends. */
static fc_status
run_model(const struct judging *j, bool usual)
{
    fc_status status;

    fci_bench_take_model(j->bench, FCI_WORST, usual);
    status = run(j, j->worst);
    if (status != FC_OK)
        return status;
    fci_bench_take_model(j->bench, FCI_BEST, usual);
    return run(j, j->best);
}

/* Whether the outcomes at both ends keep the model from its verdict. */
static bool
is_in_doubt(const struct judging *j, size_t c)
{
    const fc_checked_claim *claim = &j->v->checked[c];

    return (claim->by_model == FC_SUPPORTED && !reaches(claim, &j->worst[c]))
           || (claim->by_model == FC_CONTRADICTED
               && reaches(claim, &j->best[c]));
}

/* Where no input is a range it is all there is to go by. */
static fc_status
judge_model(const struct judging *j)
{
    struct fci_verify *v = j->v;
    const fc_status status = run_model(j, false);
    size_t c;

    for (c = 0; c < v->n_claims && status == FC_OK; c++) {
        fc_checked_claim *claim = &v->checked[c];
        const bool always = reaches(claim, &j->worst[c]);

        if (v->claims[c].why_not)
            continue;
        if (v->varied == 0) {
            claim->low = j->worst[c].pressure;
            claim->high = j->best[c].pressure;
            claim->certain = always || !reaches(claim, &j->best[c]);
            claim->by_model = always ? FC_SUPPORTED : FC_CONTRADICTED;
        }
        if (is_in_doubt(j, c))
            doubt(claim, FC_DOUBT_MODEL);
    }
    return status;
}

/* What keeps it from being sure that the supply is not drawn down too far. */
static const char *
name_drawn(const struct fci_verify *v, const struct fci_outcome *worst,
           const struct fci_outcome *best)
{
    const fc_site *site = v->site;
    const struct fci_element *element = &site->elements[worst->drawn_at];
    const fc_unit_system units = site->settings.units;
    const bool main = element->part->kind == FCI_SOURCE;
    const fc_range has = { true, worst->drawn_to, worst->drawn_to,
                           fmax(worst->drawn_to, best->drawn_to) };

    return fci_arena_printf(
        v->arena, "%s%s is at %s; %s %s", main ? "" : "the inlet of ",
        element->name, fci_show_range(units, FC_PRESSURE, has).text,
        fci_show_range(units, FC_PRESSURE, fci_must_keep(site, element)).text,
        main ? "must be kept in a public main" : "required there");
}

/* On a tree every pressure lies between the ends, as in a check. */
static fc_status
find_certain(const struct judging *j)
{
    struct fci_verify *v = j->v;
    fc_status status;
    size_t c;

    fci_bench_take_end(j->bench, FCI_WORST);
    status = run(j, j->worst);
    if (status == FC_OK) {
        fci_bench_take_end(j->bench, FCI_BEST);
        status = run(j, j->best);
    }
    for (c = 0; c < v->n_claims && status == FC_OK; c++) {
        fc_checked_claim *claim = &v->checked[c];
        const struct fci_outcome *worst = &j->worst[c];

        if (v->claims[c].why_not)
            continue;
        claim->certain =
            !v->meshed
            && (reaches(claim, worst) || !reaches(claim, &j->best[c]));
        if (worst->drawn_at == FCI_NONE
            || worst->drawn_to >= worst->must_keep - FCI_SAME_PRESSURE)
            continue;
        claim->drawn_down = name_drawn(v, worst, &j->best[c]);
        if (!claim->drawn_down)
            return FC_ENOMEM;
    }
    return status;
}

static fc_status
run_bad(const struct judging *j, double bad, struct fci_outcome *outcomes)
{
    fci_bench_take_bad(j->bench, bad);
    return run(j, outcomes);
}

/* All at one part of their ranges: the claim is reached up to some part, so
 * that its chance is at least 95 % if it is at that part. */
static fc_status
find_independence(const struct judging *j)
{
    struct fci_verify *v = j->v;
    fc_status status = run_bad(j, MOST_OF_ALL, j->worst);
    size_t c;

    if (status == FC_OK)
        status = run_bad(j, LEAST_OF_ALL, j->best);
    for (c = 0; c < v->n_claims && status == FC_OK; c++)
        if (is_in_doubt(j, c))
            v->checked[c].doubt = FC_SURE_BY_INDEPENDENCE;
    return status;
}

/* The kind of which most inputs are, other than by one cause; NULL: none is of
 * two or more. */
static const char *
find_kind(const struct fci_variant *variant, struct fci_arena *arena)
{
    const struct fci_input *inputs = variant->inputs;
    size_t i, k, most = 1, best = 0;

    for (i = 0; i < variant->n_inputs; i++) {
        size_t n = 0;

        if (!fci_input_has_kind(&inputs[i]))
            continue;
        for (k = i; k < variant->n_inputs; k++)
            n += fci_input_has_kind(&inputs[k])
                 && strcmp(inputs[k].what, inputs[i].what) == 0;
        if (n > most) {
            most = n;
            best = i;
        }
    }
    return most > 1 ? fci_arena_printf(arena, "%s of %zu parts",
                                       inputs[best].what, most)
                    : NULL;
}

/* ---- Draws of another kind ---------------------------------------------- */

/* Those are open whose draws do not yet say what the others did. */
static size_t
settle_again(const struct judging *j, size_t n, bool last, fc_doubt why,
             const char *rests_on)
{
    size_t c, open = 0;

    for (c = 0; c < j->v->n_claims; c++) {
        fc_checked_claim *claim = &j->v->checked[c];
        enum side side;

        if (!j->wanted[c])
            continue;
        side = side_of(j->reach[c], n, last ? BY_SAMPLING : CLEAR);
        j->wanted[c] = side == UNCLEAR && !last;
        open += j->wanted[c];
        if (j->wanted[c] || support_by(side) == claim->by_model)
            continue;
        doubt(claim, why);
        claim->rests_on = rests_on;
    }
    return open;
}

/* What has this verdict by draws, and is not certain, must have it by these
 * too. */
static fc_status
draw_again(const struct judging *j, struct fci_draw_as as, fc_support verdict,
           fc_doubt why, const char *rests_on)
{
    struct fci_verify *v = j->v;
    const size_t blocks = 1 + v->draws / ALIKE_DIVISOR / FCI_VERIFY_BLOCK;
    fc_status status = FC_OK;
    size_t c, round, open = 0;

    for (c = 0; c < v->n_claims; c++) {
        j->reach[c] = 0;
        j->wanted[c] = !v->claims[c].why_not && !v->checked[c].certain
                       && v->checked[c].by_model == verdict;
        open += j->wanted[c];
    }
    for (round = 0; round < ALIKE_DIVISOR && open > 0 && status == FC_OK;
         round++) {
        status = fci_drawing_more(j->drawing, as, j->wanted, round * blocks,
                                  blocks, j->reach, j->messages);
        if (status == FC_OK)
            open = settle_again(j, (round + 1) * blocks * FCI_VERIFY_BLOCK,
                                round + 1 == ALIKE_DIVISOR, why, rests_on);
    }
    return status;
}

/* What nobody measured is at its worst for what is supported, and at its best
 * for what is contradicted. */
static fc_status
draw_both(const struct judging *j, bool kinds_alike, fc_doubt why,
          const char *rests_on)
{
    const struct fci_draw_as worst = { kinds_alike, FCI_WORST };
    const struct fci_draw_as best = { kinds_alike, FCI_BEST };
    const fc_status status = draw_again(j, worst, FC_SUPPORTED, why, rests_on);

    return status == FC_OK
               ? draw_again(j, best, FC_CONTRADICTED, why, rests_on)
               : status;
}

static fc_status
judge_alike(const struct judging *j)
{
    const char *kind = find_kind(fci_bench_variant(j->bench), j->v->arena);

    return kind ? draw_both(j, true, FC_DOUBT_ALIKE, kind) : FC_OK;
}

/* Of what is not given the one that at its end alone moves each claim most:
 * that is what it rests on. */
static fc_status
name_not_given(const struct judging *j)
{
    struct fci_verify *v = j->v;
    const struct fci_variant *variant = fci_bench_variant(j->bench);
    double *most = fci_arena_array(&v->scratch, v->n_claims, sizeof *most);
    fc_status status = most ? FC_OK : FC_ENOMEM;
    size_t i, c;

    for (i = 0; i < variant->n_inputs && status == FC_OK; i++) {
        if (!variant->inputs[i].usual
            || variant->inputs[i].cause == FCI_OWN_PART)
            continue;
        fci_bench_take_one(j->bench, i, FCI_WORST);
        status = run(j, j->worst);
        if (status == FC_OK) {
            fci_bench_take_one(j->bench, i, FCI_BEST);
            status = run(j, j->best);
        }
        for (c = 0; c < v->n_claims && status == FC_OK; c++) {
            fc_checked_claim *claim = &v->checked[c];
            const double moved = j->best[c].pressure - j->worst[c].pressure;

            if (claim->doubt != FC_DOUBT_NOT_GIVEN
                || (claim->rests_on && !fci_is_less(most[c], moved)))
                continue;
            most[c] = moved;
            claim->rests_on = fci_input_name(v, &variant->inputs[i]);
        }
    }
    return status;
}

/* Whether anything that bears on the pressure is not given. */
static bool
any_usual(const struct fci_variant *variant)
{
    size_t i;

    for (i = 0; i < variant->n_inputs && !variant->inputs[i].usual; i++)
        ;
    return i < variant->n_inputs;
}

static fc_status
judge_not_given(const struct judging *j)
{
    struct fci_verify *v = j->v;
    fc_status status;
    bool any = false;
    size_t c;

    if (!any_usual(fci_bench_variant(j->bench)))
        return FC_OK;
    status = run_model(j, true);
    for (c = 0; c < v->n_claims && status == FC_OK; c++)
        if (!v->claims[c].why_not && is_in_doubt(j, c))
            doubt(&v->checked[c], FC_DOUBT_NOT_GIVEN);
    if (status == FC_OK)
        status = draw_both(j, false, FC_DOUBT_NOT_GIVEN, NULL);
    for (c = 0; c < v->n_claims; c++)
        any |= v->checked[c].doubt == FC_DOUBT_NOT_GIVEN;
    return status == FC_OK && any ? name_not_given(j) : status;
}

/* ---- The whole -----------------------------------------------------------
 */

fc_status
fci_verify_sure(struct fci_verify *v, struct fci_bench *bench,
                struct fci_drawing *drawing, const size_t *reach,
                fc_diagnostics *messages)
{
    struct fci_arena *arena = &v->scratch;
    struct judging j = {
        .v = v, .bench = bench, .drawing = drawing, .messages = messages
    };
    fc_status status = FC_OK;
    size_t c;

    j.wanted = fci_arena_array(arena, v->n_claims, sizeof *j.wanted);
    j.reach = fci_arena_array(arena, v->n_claims, sizeof *j.reach);
    j.worst = fci_arena_array(arena, v->n_claims, sizeof *j.worst);
    j.best = fci_arena_array(arena, v->n_claims, sizeof *j.best);
    if (!j.wanted || !j.reach || !j.worst || !j.best)
        return FC_ENOMEM;
    if (v->varied > 0)
        status = judge_chances(&j, reach);
    if (status == FC_OK)
        status = find_certain(&j);
    if (status == FC_OK)
        status = judge_model(&j);
    if (status == FC_OK && v->varied > 0)
        status = judge_not_given(&j);
    if (status == FC_OK && v->varied > 0)
        status = judge_alike(&j);
    if (status == FC_OK && v->varied > 0)
        status = find_independence(&j);
    for (c = 0; c < v->n_claims && status == FC_OK; c++)
        if (v->checked[c].not_flowing)
            doubt(&v->checked[c], FC_NO_DOUBT);
    return status;
}
