/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/site_text.c -- a handful of figures as a site file.
 *
 * What is not known is a range, as wide as a gauge shows it: its ends are
 * rounded outward.  The answer is computed of this text, so that what is said
 * of it is said of the file that is kept.
 */
#include "quick/model.h"
#include "ground/text_stream.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static double
us(fc_dimension dimension, double si)
{
    return fc_from_si(FC_US, dimension, si);
}

static const char *
said(const struct fci_quick_model *m, enum fci_quick_key key)
{
    return m->figures->of[key].text;
}

/* What was given, as it was written, where a file can hold that. */
static const char *
written(const struct fci_quick_model *m, enum fci_quick_key key)
{
    static const char plain[] = "0123456789./- abcdefghijklmnopqrstuvwxyz"
                                "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const struct fci_quick_figure *figure = &m->figures->of[key];

    return figure->said && !(figure->value.high > figure->value.low)
                   && figure->said[strspn(figure->said, plain)] == '\0'
               ? figure->said
               : NULL;
}

#define DECIMALS 10.0 /* a gauge shows 0.1 psi, a tape 0.1 ft */

/* Rounded down or up to what a gauge shows, but for the last digits that came
 * of converting. */
static double
rounded(double value, bool up)
{
    const double tenths = value * DECIMALS, nearest = round(tenths);

    if (fabs(tenths - nearest) < 1e-6)
        return nearest / DECIMALS;
    return (up ? ceil(tenths) : floor(tenths)) / DECIMALS;
}

/* "19.3..23 psi", or one figure, without the end of its line. */
static void
put_figure(FILE *out, const char *key, fc_dimension dimension, fc_range range)
{
    const char *unit = fc_unit_name(FC_US, dimension);
    double low = us(dimension, range.low), high = us(dimension, range.high);

    if (dimension == FC_PRESSURE || dimension == FC_LENGTH) {
        low = rounded(low, false);
        high = rounded(high, true);
    }
    if (range.high > range.low)
        fprintf(out, "%s = %.10g..%.10g %s", key, low, high, unit);
    else
        fprintf(out, "%s = %.10g %s", key, us(dimension, range.nominal), unit);
}

static void
put_range(FILE *out, const char *key, fc_dimension dimension, fc_range range)
{
    put_figure(out, key, dimension, range);
    fputc('\n', out);
}

/* What is lost with one valve's rate. */
static void
put_loss(FILE *out, const char *key, const struct fci_quick_model *m,
         fc_range loss)
{
    put_figure(out, key, FC_PRESSURE, loss);
    fprintf(out, " at %.10g gpm\n", us(FC_FLOW, m->rate));
}

/* What was said, as a comment; it stands on a line of its own, whatever it
 * holds. */
static void
put_said(FILE *out, const char *key, const char *text)
{
    fprintf(out, "; %s=", key);
    for (; *text; text++)
        fputc((unsigned char)*text < ' ' || *text == 127 ? '?' : *text, out);
    fputc('\n', out);
}

static void
put_head(FILE *out, const struct fci_quick_model *m)
{
    const fc_quick_key *keys;
    const size_t n = fc_quick_keys(&keys);

    fputs("; A first answer, from these figures:\n", out);
    for (size_t i = 0; i < n; i++)
        if (m->figures->of[i].text)
            put_said(out, keys[i].key, m->figures->of[i].text);
    fputs("; What was not measured is a range: narrow it as you learn more.\n"
          "; \"flushcalc flush\" of " FCI_QUICK_FIXTURE ":1, :2, ... is what "
          "quick says; \"check\" judges\n"
          "; by the peak demand of the code.\n\n"
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
    const char *as_written = written(m, FCI_Q_UP);

    if (m->has_rise && as_written)
        fprintf(out, "rise = %s\n", as_written);
    else if (m->has_rise)
        fprintf(out, "rise = %.10g ft\n", us(FC_LENGTH, m->rise));
}

static void
put_untested_main(FILE *out, const struct fci_quick_model *m)
{
    fputs("\n; no flow test: how far it drops is not known\n"
          "[source supply]\nkind = street main\n",
          out);
    put_range(out, "static", FC_PRESSURE, supply(m));
}

static void
put_pipe(FILE *out, const struct fci_quick_model *m, bool rises)
{
    const fc_range size = m->figures->of[FCI_Q_SIZE].value;

    fputs("\n; fittings are not counted and its state is not known\n"
          "[pipe " FCI_QUICK_WAY "]\nfrom = supply\n",
          out);
    fprintf(out, "material = %s\n", said(m, FCI_Q_PIPE));
    put_range(out, "size", FC_SIZE, size);
    put_range(out, "length", FC_LENGTH, m->figures->of[FCI_Q_LENGTH].value);
    if (rises)
        put_rise(out, m);
}

/* All that loses pressure, as it was measured at the valve. */
static void
put_way(FILE *out, const struct fci_quick_model *m)
{
    fprintf(out,
            "\n; %s\n[source supply]\nkind = fixed   ; its drop is "
            "in the loss below\n",
            m->still_known
                ? "static pressure as it was read, with its gauge's "
                  "error"
                : "static pressure: not read, anything up to what "
                  "no main exceeds");
    put_range(out, "pressure", FC_PRESSURE, supply(m));
    fprintf(out,
            "\n; main, meter, pipe and fittings: what they lose %s\n"
            "[device " FCI_QUICK_WAY "]\nfrom = supply\n",
            m->measured ? "by the readings" : "is not known");
    put_rise(out, m);
    put_loss(out, "loss", m, m->shared);
}

/* ---- Valve and readings ------------------------------------------------ */

static void
put_valve(FILE *out, const struct fci_quick_model *m)
{
    const fc_range flush = m->figures->of[FCI_Q_FLUSH].value;

    fprintf(
        out, "\n; %s\n[valve valve]\n",
        said(m, FCI_Q_NEED)
            ? "minimum as given"
            : "minimum not known: what codes and handbooks require of such a "
              "valve");
    if (written(m, FCI_Q_NEED))
        fprintf(out, "minimum flowing = %s\n", written(m, FCI_Q_NEED));
    else
        put_range(out, "minimum flowing", FC_PRESSURE, m->minimum);
    fprintf(out, "flow = %.10g gpm at %.10g psi   ; %s\n",
            us(FC_FLOW, m->rate), us(FC_PRESSURE, m->rate_pressure),
            m->rate_timed ? "of the flush that was timed"
                          : "of its class, not measured");
    if (m->regulated)
        fputs("regulated = yes\n", out);
    if (flush.given)
        fprintf(out, "full flush = %.10g gal\n",
                us(FC_VOLUME, m->figures->of[FCI_Q_GAL].value.nominal));
    fprintf(out,
            "\n[fixture " FCI_QUICK_FIXTURE "]\non = " FCI_QUICK_WAY
            "\nkind = %s\n"
            "count = %d\nexisting = valve\n",
            m->figures->valve->fixture, m->count);
    if (m->own.high > 0) {
        fputs("; what is lost at the valve alone, by the readings\n", out);
        put_loss(out, "stop", m, m->own);
    }
}

static void
put_reading(FILE *out, const struct fci_quick_model *m, enum fci_quick_key key,
            const char *at, const char *gauge)
{
    const fc_quick_key *keys;
    const char *as_written = written(m, key);

    fc_quick_keys(&keys);
    fprintf(out, "\n[reading %s]\nat = %s\n", keys[key].key, at);
    if (as_written)
        fprintf(out, "pressure = %s\n", as_written);
    else
        fprintf(out, "pressure = %.10g psi\n",
                us(FC_PRESSURE, m->figures->of[key].value.nominal));
    fprintf(out, "gauge = %s\n", gauge);
}

static void
put_gauge(FILE *out, const char *name, double within)
{
    fprintf(out, "\n[gauge %s]\nwithin = %.10g psi\n", name,
            rounded(us(FC_PRESSURE, within), true));
}

static void
put_readings(FILE *out, const struct fci_quick_model *m)
{
    const fc_range still = m->figures->of[FCI_Q_STILL].value;
    double widest = m->within;

    if (m->has_rise) {
        put_gauge(out, "first", m->main_within);
        put_reading(out, m, FCI_Q_MAIN, "supply", "first");
    }
    if (still.given)
        widest = fmax(widest, (still.high - still.low) / 2);
    for (int i = 0; i < m->n_readings; i++)
        widest = fmax(widest, m->readings[i].within);
    if (still.given || m->n_readings > 0)
        put_gauge(out, "at-valve", widest);
    if (still.given)
        put_reading(out, m, FCI_Q_STILL, FCI_QUICK_FIXTURE, "at-valve");
    for (int i = 0; i < m->n_readings; i++) {
        put_reading(
            out, m,
            (enum fci_quick_key)(FCI_Q_ONE + m->readings[i].flushing - 1),
            FCI_QUICK_FIXTURE, "at-valve");
        fprintf(out, "flushing = %d of " FCI_QUICK_FIXTURE "\n",
                m->readings[i].flushing);
    }
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
fci_quick_site_text(const struct fci_quick_model *m, struct fci_arena *arena)
{
    char *text = NULL;
    size_t size = 0;
    FILE *out = fci_text_stream(&text, &size);

    if (!out) {
        arena->failed = true;
        return NULL;
    }
    put_head(out, m);
    if (m->piped) {
        put_untested_main(out, m);
        put_pipe(out, m, true);
    } else {
        put_way(out, m);
    }
    put_valve(out, m);
    put_readings(out, m);
    return kept(out, &text, arena);
}

/* Its pressure is more than any pipe loses that is worth a figure. */
char *
fci_quick_pipe_text(const struct fci_quick_model *m, double flow,
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
    fprintf(out,
            "\n[valve valve]\nminimum flowing = 1 psi\n"
            "flow = %.10g gpm at 1 psi\nregulated = yes\n"
            "[fixture " FCI_QUICK_FIXTURE "]\non = " FCI_QUICK_WAY
            "\nkind = %s\n"
            "existing = valve\n",
            us(FC_FLOW, flow), m->figures->valve->fixture);
    return kept(out, &text, arena);
}
