/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/quick/model.c -- static pressure, valve and counts, of a handful of
 * figures. */
#include "quick/model.h"
#include "ground/diagnostics.h"
#include "laws/water.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

#define SIXTY_DEGREES ((60.0 - 32.0) / 1.8) /* as of a site that says none */

static fc_range
given(const struct fci_quick_model *m, enum fci_quick_key key)
{
    return m->figures->of[key].value;
}

static double
half_of(fc_range range)
{
    return (range.high - range.low) / 2;
}

/* A reading is as good as its gauge, or as the range that was given. */
static double
within_of(const struct fci_quick_model *m, fc_range read)
{
    return fmax(m->within, half_of(read));
}

static fc_range
around(double middle, double within)
{
    return fc_between(middle - within, middle + within);
}

/* ---- Static pressure at the valve -------------------------------------- */

/* The most that is read at the valve while some flush, at its least: the
 * static pressure is no less. */
static double
least_static(const struct fci_quick_model *m)
{
    double least = 0;

    for (int i = 0; i < m->n_readings; i++)
        least = fmax(least, m->readings[i].read - m->readings[i].within);
    return least;
}

/* Where neither gauge and height tell it. */
static fc_range
unknown_static(const struct fci_quick_model *m)
{
    const fc_range main = given(m, FCI_Q_MAIN);
    const double most =
        main.given ? main.nominal + within_of(m, main) : FCI_QUICK_MOST;

    return fc_between(fmin(least_static(m), most), most);
}

static void
make_static(struct fci_quick_model *m)
{
    const fc_range main = given(m, FCI_Q_MAIN), up = given(m, FCI_Q_UP),
                   still = given(m, FCI_Q_STILL);
    fc_range below;

    m->has_rise = main.given && up.given;
    m->still_read = still.given;
    m->still_known = still.given || m->has_rise;
    if (still.given)
        m->still = around(still.nominal, within_of(m, still));
    else
        m->still = unknown_static(m);
    if (!m->has_rise)
        return;
    m->rise = up.nominal;
    m->rise_within = half_of(up);
    m->main_within = within_of(m, main) + m->weight * m->rise_within;
    below = around(main.nominal - m->weight * m->rise, m->main_within);
    m->gauges_differ =
        still.given
        && (below.low > m->still.high || below.high < m->still.low);
    if (!still.given || m->gauges_differ)
        m->still = below;
    else
        m->still = fc_between(fmax(below.low, m->still.low),
                              fmin(below.high, m->still.high));
}

/* ---- The valve --------------------------------------------------------- */

/* What codes and handbooks ask, from the least that any does to what the class
 * has. */
static fc_range
usual_minimum(const struct fci_quick_model *m, const struct fci_tables *tables)
{
    const struct fci_quoted_minimum *quoted;
    const size_t n = fci_tables_minima(tables, &quoted);
    const double most = m->valve->minimum_flowing.nominal;

    return fc_between(n > 0 ? fmin(quoted[0].pressure, most) : most, most);
}

/* To 0.1 gpm: a watch read to half a second tells no more of any flush, and
 * what is written is what is computed with. */
static double
rounded_rate(double flow)
{
    const double tenth = 0.1 / fc_from_si(FC_US, FC_FLOW, 1);

    return round(flow / tenth) * tenth;
}

/* A flush that was timed while the gauge was read: its mean flow there. */
static fc_status
take_timed(struct fci_quick_model *m, fc_diagnostics *messages)
{
    const fc_range time = given(m, FCI_Q_FLUSH), volume = given(m, FCI_Q_GAL);
    fc_range limits;

    if (!time.given || m->n_readings == 0 || m->readings[0].flushing != 1
        || m->readings[0].read <= 0)
        return FC_OK;
    m->rate = rounded_rate(volume.nominal / time.nominal);
    m->rate_pressure = m->readings[0].read;
    m->rate_timed = true;
    if (fci_read_figure("1..80 gpm", FC_FLOW, true, &limits, NULL)
        && (m->rate < limits.low || m->rate > limits.high))
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "gal= in flush= is %s, which no flush valve passes; "
                        "1 to 80 gpm is expected",
                        fci_show(FC_US, FC_FLOW, m->rate).text);
    return FC_OK;
}

static fc_status
make_valve(struct fci_quick_model *m, const struct fci_tables *tables,
           fc_diagnostics *messages)
{
    const struct fci_fixture_kind *kind =
        fci_tables_fixture(tables, FC_IPC, m->figures->valve->fixture);
    const struct fci_valve_class *class =
        kind && kind->valve ? fci_tables_valve(tables, kind->valve) : NULL;

    if (!class)
        return FC_EINPUT;
    m->valve = &class->valve;
    m->usual_rate = kind->usual_rate;
    m->rate = m->valve->flow.nominal;
    m->rate_pressure = m->valve->flow_pressure.nominal;
    m->minimum = given(m, FCI_Q_NEED);
    if (!m->minimum.given)
        m->minimum = usual_minimum(m, tables);
    return take_timed(m, messages);
}

/* ---- The whole --------------------------------------------------------- */

static void
take_readings(struct fci_quick_model *m)
{
    for (int i = 0; i < FCI_Q_READ; i++) {
        const fc_range read = given(m, (enum fci_quick_key)(FCI_Q_ONE + i));

        if (read.given)
            m->readings[m->n_readings++] = (struct fci_quick_reading){
                .flushing = i + 1,
                .read = read.nominal,
                .within = within_of(m, read),
            };
    }
}

static void
take_open_line(struct fci_quick_model *m)
{
    if (given(m, FCI_Q_FLOW).given)
        m->open_flow = given(m, FCI_Q_FLOW).nominal;
    else if (given(m, FCI_Q_IN).given)
        m->open_flow =
            given(m, FCI_Q_GAL).nominal / given(m, FCI_Q_IN).nominal;
}

/* Three are told of, and as many as are asked for. */
#define LEAST_COUNT 3

fc_status
fci_quick_model_make(struct fci_quick_model *m,
                     const struct fci_tables *tables, fc_diagnostics *messages)
{
    const double usual =
        fci_tables_usual(tables, FCI_USUAL_GAUGE)->range.nominal;
    fc_status status;

    m->weight = fci_water_weight(SIXTY_DEGREES);
    m->within = usual;
    m->misread = usual / 2; /* half a mark, as of a site that says none */
    take_readings(m);
    take_open_line(m);
    make_static(m);
    status = make_valve(m, tables, messages);
    if (status != FC_OK)
        return status;
    m->measured = m->n_readings > 0 || m->open_flow > 0;
    m->has_pipe = given(m, FCI_Q_LENGTH).given && given(m, FCI_Q_SIZE).given
                  && m->figures->of[FCI_Q_PIPE].text;
    m->piped = m->has_pipe && !m->measured;
    m->flushing = m->figures->valves > 0 ? m->figures->valves : 1;
    if (m->n_readings > 0
        && m->readings[m->n_readings - 1].flushing > m->flushing)
        m->flushing = m->readings[m->n_readings - 1].flushing;
    m->count = m->flushing > LEAST_COUNT ? m->flushing : LEAST_COUNT;
    fci_quick_losses(m);
    return FC_OK;
}
