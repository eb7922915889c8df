/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/site_text.c -- a handful of figures as a site file.
 *
 * What is not known is a range, as wide as a gauge shows it: its ends are
 * rounded outward.  The answer is computed of this text, so that what is said
 * of it is said of the file that is kept.  In that one readings stand as
 * comments: its figures are drawn from them, so that to hold them against it
 * tells nothing; but for those that contradict each other.
 */
#include "quick/site_lines.h"
#include "ground/plain_print.h"
#include "ground/text_stream.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_RATE 1.01   /* gpm: a valve in a file passes 1 or more */
#define LEAST_REGULATED 1 /* psi: no valve is asked for less */

/* What was said, as a comment; it stands on a line of its own, whatever it
 * holds. */
static void
put_said(FILE *out, const char *key, const char *text)
{
    fci_print_to(out, "; %s=", key);
    for (; *text; text++)
        fputc((unsigned char)*text < ' ' || *text == 127 ? '?' : *text, out);
    fputc('\n', out);
}

static void
put_head(FILE *out, const struct fci_quick_model *m)
{
    const fc_quick_key *keys;
    const size_t n = fc_quick_keys(&keys);

    fputs("; A first answer, from these figures as they were given:\n", out);
    for (size_t i = 0; i < n; i++)
        if (m->figures->of[i].text)
            put_said(out, keys[i].key, m->figures->of[i].text);
    fputs("; What was not measured is a range: narrow it as you learn more.\n"
          "; What quick cannot tell, flush and check of this file cannot tell "
          "either",
          out);
    if (m->piped)
        fputs(",\n; but that check judges by the peak demand of the code",
              out);
    fputs(".\n\n"
          "[site]\n"
          "title = First answer\n",
          out);
    if (m->units == FC_SI)
        fputs("units = si\n", out);
    fputs("code minimum = no   ; the valve's minimum alone counts\n", out);
}

/* ---- Supply and way --------------------------------------------------- */

/* Static at the first gauge, or at the valve where that is all there is. */
static fc_range
supply(const struct fci_quick_model *m)
{
    const double head = m->has_rise ? m->weight * m->rise : 0;

    return fc_between(m->still.low + head, m->still.high + head);
}

static void
put_rise(FILE *out, const struct fci_quick_model *m)
{
    const char *as_written = fci_quick_written(m, FCI_Q_UP);

    if (m->has_rise && as_written)
        fci_print_to(out, "rise = %s\n", as_written);
    else if (m->has_rise)
        fci_print_to(out, "rise = %.10g ft\n",
                     fci_quick_us(FC_LENGTH, m->rise));
}

static void
put_pipe(FILE *out, const struct fci_quick_model *m, bool rises)
{
    const fc_range size = m->figures->of[FCI_Q_SIZE].value;

    fputs("\n; fittings are not counted and its state is not known\n"
          "[pipe " FCI_QUICK_WAY "]\nfrom = supply\n",
          out);
    fci_print_to(out, "material = %s\n", fci_quick_said(m, FCI_Q_PIPE));
    fci_quick_put_range(out, "size", FC_SIZE, size);
    fci_quick_put_range(out, "length", FC_LENGTH,
                        m->figures->of[FCI_Q_LENGTH].value);
    if (rises)
        put_rise(out, m);
}

static void
put_supply(FILE *out, const struct fci_quick_model *m)
{
    fci_print_to(
        out,
        "\n; %s\n[source supply]\nkind = fixed   ; its drop is in the "
        "losses below\n",
        m->doubt ? "static pressure: the figures given do not agree"
        : m->still_known
            ? "static pressure as measured, with its gauge's error"
            : "static pressure: not measured, anything up to what no main "
              "exceeds");
    fci_quick_put_range(out, "pressure", FC_PRESSURE, supply(m));
}

/* All that loses pressure between there and the valve, but what `put_valve`
 * writes. */
static void
put_way(FILE *out, const struct fci_quick_model *m, double shared)
{
    fputs(
        "\n; main, meter, pipe and fittings: what at least is lost where all "
        "share it\n"
        "[device " FCI_QUICK_WAY "]\nfrom = supply\n",
        out);
    put_rise(out, m);
    fci_quick_put_least_loss(out, m, shared);
}

/* ---- Valve and readings ------------------------------------------------ */

/* Any usual valve, at about the least pressure that one is asked for, but not
 * less than a valve may pass in a file: check judges by the rate written
 * here, and none but that is sure to be drawn. */
static void
put_usual_rate(FILE *out, const struct fci_quick_model *m)
{
    const fc_range usual = fci_quick_rate_at(m, m->rate_pressure);
    const double pressure = fci_quick_us(FC_PRESSURE, m->rate_pressure);
    const double low = fci_quick_us(FC_FLOW, usual.low),
                 high = fci_quick_us(FC_FLOW, usual.high);
    const double at = ceil(fmax(
        LEAST_REGULATED, pressure * LEAST_RATE * LEAST_RATE / (low * low)));
    const double part = sqrt(at / pressure);

    fci_print_to(out,
                 "; %.10g to %.10g gpm at %.10g psi, usual of such valves\n",
                 low, high, pressure);
    fci_print_to(out, "flow = %.10g..%.10g gpm at %.10g psi\n",
                 floor(low * part * 100) / 100, ceil(high * part * 100) / 100,
                 at);
}

/* A valve whose flow does not fall with its pressure loses most with more of
 * them.  Where nothing was read while it flushed, it is any usual valve. */
static void
put_rate(FILE *out, const struct fci_quick_model *m)
{
    if (m->n_readings == 0) {
        put_usual_rate(out, m);
        return;
    }
    fci_print_to(out,
                 "; %s, taken as no less with less pressure: the worst case\n"
                 "flow = %.10g gpm at %d psi\nregulated = yes\n",
                 m->rate_timed ? "flow as timed" : "flow of its class",
                 fci_quick_us(FC_FLOW, m->rate), LEAST_REGULATED);
}

static const char *
what_is_lost(const struct fci_quick_model *m)
{
    if (m->doubt)
        return "what is lost is not known: the figures given do not agree";
    if (m->n_readings > 0)
        return "what else may be lost on the way, by the readings, whatever "
               "the others do";
    if (m->open_flow > 0)
        return "what is lost on the way: at least this, by the open line";
    return m->piped ? "what main, meter and fittings lose: not measured"
                    : "what is lost on the way: not measured";
}

static void
put_valve(FILE *out, const struct fci_quick_model *m,
          const struct fci_quick_kept *kept)
{
    const fc_range flush = m->figures->of[FCI_Q_FLUSH].value;

    fci_print_to(
        out, "\n; %s\n[valve valve]\n",
        fci_quick_said(m, FCI_Q_NEED)
            ? "minimum as given"
            : "minimum not given: what codes and handbooks require of such a "
              "valve");
    if (fci_quick_written(m, FCI_Q_NEED))
        fci_print_to(out, "minimum flowing = %s\n",
                     fci_quick_written(m, FCI_Q_NEED));
    else
        fci_quick_put_range(out, "minimum flowing", FC_PRESSURE, m->minimum);
    put_rate(out, m);
    if (flush.given)
        fci_print_to(
            out, "full flush = %.10g gal\n",
            fci_quick_us(FC_VOLUME, m->figures->of[FCI_Q_GAL].value.nominal));
    fci_print_to(out,
                 "\n[fixture " FCI_QUICK_FIXTURE "]\non = " FCI_QUICK_WAY
                 "\nkind = %s\n"
                 "count = %d\nexisting = valve\n",
                 m->figures->valve->fixture, m->count);
    fci_print_to(out, "; %s\n", what_is_lost(m));
    fci_quick_put_loss(out, "stop", m, kept->own, 1);
}

/* Where the readings go; `mark` stands before each line of theirs. */
struct readings_out {
    FILE *out;
    const char *mark;
};

static void
put_reading(const struct readings_out *to, const struct fci_quick_model *m,
            enum fci_quick_key key, const char *at, const char *gauge)
{
    const fc_quick_key *keys;
    const char *as_written = fci_quick_written(m, key);

    fc_quick_keys(&keys);
    fci_print_to(to->out,
                 "\n%s[reading %s]\n%sat = %s\n%spressure = ", to->mark,
                 keys[key].key, to->mark, at, to->mark);
    if (as_written)
        fci_print_to(to->out, "%s\n", as_written);
    else
        fci_print_to(
            to->out, "%.10g psi\n",
            fci_quick_us(FC_PRESSURE, m->figures->of[key].value.nominal));
    fci_print_to(to->out, "%sgauge = %s\n", to->mark, gauge);
}

static void
put_gauge(const struct readings_out *to, const char *name, double within)
{
    fci_print_to(to->out, "\n%s[gauge %s]\n%swithin = %.10g psi\n", to->mark,
                 name, to->mark,
                 fci_quick_rounded(fci_quick_us(FC_PRESSURE, within), true));
}

static void
put_readings(const struct readings_out *to, const struct fci_quick_model *m)
{
    const fc_range still = m->figures->of[FCI_Q_STILL].value;
    double widest = m->within;

    if (m->has_rise) {
        put_gauge(to, "first", m->main_within);
        put_reading(to, m, FCI_Q_MAIN, "supply", "first");
    }
    if (still.given)
        widest = fmax(widest, (still.high - still.low) / 2);
    for (int i = 0; i < m->n_readings; i++)
        widest = fmax(widest, m->readings[i].within);
    if (still.given || m->n_readings > 0)
        put_gauge(to, "at-valve", widest);
    if (still.given)
        put_reading(to, m, FCI_Q_STILL, FCI_QUICK_FIXTURE, "at-valve");
    for (int i = 0; i < m->n_readings; i++) {
        put_reading(
            to, m,
            (enum fci_quick_key)(FCI_Q_ONE + m->readings[i].flushing - 1),
            FCI_QUICK_FIXTURE, "at-valve");
        fci_print_to(to->out, "%sflushing = %d of " FCI_QUICK_FIXTURE "\n",
                     to->mark, m->readings[i].flushing);
    }
}

/* What it was all drawn from. */
static void
put_as_comments(FILE *out, const struct fci_quick_model *m)
{
    const struct readings_out to = { out, "; " };

    if (!m->has_rise && !m->figures->of[FCI_Q_STILL].value.given
        && m->n_readings == 0)
        return;
    fputs("\n; uncomment these readings once the pipes are described; the "
          "figures above are drawn from them\n",
          out);
    put_readings(&to, m);
}

/* ---- The whole --------------------------------------------------------- */

/* A text that a stream wrote, into the arena; it is freed. */
static char *
kept(FILE *out, char **text, struct fci_arena *arena)
{
    char *copy = NULL;

    if (fclose(out) == 0 && *text)
        copy = fci_arena_string(arena, *text);
    else
        arena->failed = true;
    free(*text);
    return copy;
}

char *
fci_quick_site_text(const struct fci_quick_model *m, bool as_comments,
                    struct fci_arena *arena)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = fci_text_stream(&text, &size);
    const struct fci_quick_kept losses = fci_quick_kept_losses(m);

    if (!out) {
        arena->failed = true;
        return NULL;
    }
    put_head(out, m);
    put_supply(out, m);
    if (m->piped)
        put_pipe(out, m, true);
    else
        put_way(out, m, losses.shared);
    put_valve(out, m, &losses);
    if (as_comments)
        put_as_comments(out, m);
    else
        put_readings(&(struct readings_out){ out, "" }, m);
    return kept(out, &text, arena);
}

/* Its pressure is more than any pipe loses that is worth a figure. */
char *
fci_quick_pipe_text(const struct fci_quick_model *m, fc_range flow, int valves,
                    struct fci_arena *arena)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = fci_text_stream(&text, &size);

    if (!out) {
        arena->failed = true;
        return NULL;
    }
    fputs("[source supply]\nkind = fixed\npressure = 100000 psi\n", out);
    put_pipe(out, m, false);
    fputs("\n[valve valve]\nminimum flowing = 1 psi\n", out);
    fci_quick_put_figure(out, "flow", FC_FLOW, flow);
    fci_print_to(out,
                 " at 1 psi\nregulated = yes\n"
                 "[fixture " FCI_QUICK_FIXTURE "]\non = " FCI_QUICK_WAY
                 "\nkind = %s\n"
                 "existing = valve\ncount = %d\n",
                 m->figures->valve->fixture, valves);
    return kept(out, &text, arena);
}
