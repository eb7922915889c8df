/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/generators/buildings_text.c -- invented buildings: written as site
 * files. */
#include "generators/buildings.h"

#include <math.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#define MOST_LINES 24

/* One section under way.  Texts live in `arena`. */
struct writer {
    const struct building *b;
    const struct building_style *style;
    FILE *out;
    struct fci_arena arena;
    struct {
        const char *key, *value;
        bool word; /* names and words, in which case does not matter */
    } lines[MOST_LINES];
    size_t n;
};

/* What a figure is written in, and what one of it is in SI. */
static const struct {
    const char *us, *si;
    double us_unit, si_unit;
} units[] = {
    [FC_NUMBER] = { "", "", 1, 1 },
    [FC_PRESSURE] = { " psi", " kPa", PSI, 1000 },
    [FC_FLOW] = { " gpm", " L/s", GPM, 0.001 },
    [FC_LENGTH] = { " ft", " m", FOOT, 1 },
    [FC_VELOCITY] = { " ft/s", " m/s", FOOT, 1 },
    [FC_VOLUME] = { " gal", " L", GALLON, 0.001 },
    [FC_TIME] = { " s", " s", 1, 1 },
};

/* ---- Lines ------------------------------------------------------------ */

static void
put(struct writer *w, const char *key, bool word, const char *value)
{
    if (w->n == MOST_LINES || !value)
        abort();
    w->lines[w->n].key = key;
    w->lines[w->n].value = value;
    w->lines[w->n++].word = word;
}

static void
put_word(struct writer *w, const char *key, const char *word)
{
    if (word)
        put(w, key, true, word);
}

/* All digits, and no exponent. */
static const char *
number(struct writer *w, double x)
{
    char text[64];

    snprintf(text, sizeof text, "%.17g", x);
    if (strchr(text, 'e'))
        snprintf(text, sizeof text, "%.25f", x);
    return fci_arena_string(&w->arena, text);
}

static bool
in_si(const struct writer *w)
{
    return w->style->units == FC_SI;
}

static const char *
figure(struct writer *w, fc_dimension dimension, fc_range value)
{
    const double unit =
        in_si(w) ? units[dimension].si_unit : units[dimension].us_unit;
    const char *word = in_si(w) ? units[dimension].si : units[dimension].us;

    if (value.low < value.high)
        return fci_arena_printf(&w->arena, "%s .. %s%s",
                                number(w, value.low / unit),
                                number(w, value.high / unit), word);
    return fci_arena_printf(&w->arena, "%s%s", number(w, value.nominal / unit),
                            word);
}

static void
put_figure(struct writer *w, const char *key, fc_dimension dimension,
           fc_range value)
{
    if (value.given)
        put(w, key, false, figure(w, dimension, value));
}

static void
put_pair(struct writer *w, const char *key, fc_dimension dimension,
         fc_range value, fc_dimension of, fc_range at)
{
    if (value.given)
        put(w, key, false,
            fci_arena_printf(&w->arena, "%s at %s",
                             figure(w, dimension, value), figure(w, of, at)));
}

static const char *
point_list(struct writer *w, const fc_point *points, size_t n,
           fc_dimension dimension)
{
    const char *text = "";
    size_t i;

    for (i = 0; i < n; i++)
        text = fci_arena_printf(&w->arena, "%s%s%s %s", text, i ? ", " : "",
                                figure(w, FC_FLOW, fc_exactly(points[i].x)),
                                figure(w, dimension, fc_exactly(points[i].y)));
    return text;
}

static void
put_loss(struct writer *w, const char *key, const fc_loss *loss)
{
    switch (loss->kind) {
    case FC_NO_LOSS:
        break;
    case FC_CONSTANT_LOSS:
        put_figure(w, key, FC_PRESSURE, loss->pressure);
        break;
    case FC_SQUARE_LOSS:
        put_pair(w, key, FC_PRESSURE, loss->pressure, FC_FLOW, loss->flow);
        break;
    case FC_CURVE_LOSS:
        put(w, key, false,
            point_list(w, loss->points, loss->n_points, FC_PRESSURE));
        break;
    }
}

/* A nominal size as the material's table has it; in a metric file as DN where
 * there is one [ASME B36.10M, from memory]. */
static const char *
size_label(struct writer *w, const struct fci_material *material, double size)
{
    static const struct {
        const char *label, *dn;
    } pairs[] = {
        { "1/2 in", "DN15" },   { "3/4 in", "DN20" },   { "1 in", "DN25" },
        { "1-1/4 in", "DN32" }, { "1-1/2 in", "DN40" }, { "2 in", "DN50" },
        { "2-1/2 in", "DN65" }, { "3 in", "DN80" },     { "4 in", "DN100" },
    };
    size_t i, k;

    for (i = 0; i < material->n_sizes; i++) {
        const char *label = material->sizes[i].label;

        if (fabs(material->sizes[i].nominal - size) > 1e-6)
            continue;
        for (k = 0; in_si(w) && k < sizeof pairs / sizeof *pairs; k++)
            if (material->dn && strcmp(pairs[k].label, label) == 0)
                return pairs[k].dn;
        return label;
    }
    abort();
}

static void
put_size(struct writer *w, const fc_pipe *pipe)
{
    const struct fci_material *material = building_material(w->b, pipe);
    const char *low;

    if (!pipe->size.given)
        return;
    low = size_label(w, material, pipe->size.low);
    put(w, "size", false,
        pipe->size.low < pipe->size.high
            ? fci_arena_printf(&w->arena, "%s .. %s", low,
                               size_label(w, material, pipe->size.high))
            : low);
}

/* An inlet's size in inches. */
static void
put_inches(struct writer *w, const char *key, fc_range size)
{
    if (size.given)
        put(w, key, false,
            fci_arena_printf(&w->arena, "%s in",
                             number(w, size.nominal / INCH)));
}

/* ---- Sections --------------------------------------------------------- */

static void
write_settings(struct writer *w, const fc_settings *s)
{
    static const char *const conditions[] = { NULL, "new", "aged" };
    const double t = s->water_temperature.nominal;

    put(w, "title", false, s->title);
    put_word(w, "units", in_si(w) ? "si" : "us");
    put_word(w, "code", s->code == FC_IPC ? "ipc" : "upc");
    put_word(w, "code minimum", s->code_minimum == FC_NO ? "no" : NULL);
    put_word(w, "material", s->material);
    put_word(w, "condition", conditions[s->condition]);
    if (s->water_temperature.given)
        put(w, "water temperature", false,
            fci_arena_printf(&w->arena, "%s %s",
                             number(w, in_si(w) ? t : t * 1.8 + 32),
                             in_si(w) ? "degC" : "degF"));
    put_figure(w, "reserve", FC_PRESSURE, s->reserve);
    put_figure(w, "maximum static", FC_PRESSURE, s->maximum_static);
}

static void
write_source(struct writer *w, const fc_source *s)
{
    static const char *const kinds[] = { NULL, "street main", "tank",
                                         "fixed" };

    put_word(w, "kind", kinds[s->kind]);
    put_figure(w, "static", FC_PRESSURE, s->static_pressure);
    put_figure(w, "test static", FC_PRESSURE, s->test_static);
    put_figure(w, "residual", FC_PRESSURE, s->residual);
    put_figure(w, "residual flow", FC_FLOW, s->residual_flow);
    put_figure(w, "within", FC_PRESSURE, s->within);
    put_figure(w, "water level", FC_LENGTH, s->water_level);
    put_figure(w, "pressure", FC_PRESSURE, s->pressure);
    put_figure(w, "elevation", FC_LENGTH, s->elevation);
}

static void
write_pipe(struct writer *w, const fc_pipe *p)
{
    static const char *const conditions[] = { NULL, "new", "aged" };
    const char *fittings = "";
    size_t i;

    put_word(w, "from", p->from);
    put_word(w, "to", p->to);
    put_word(w, "material", p->material);
    put_size(w, p);
    put_figure(w, "length", FC_LENGTH, p->length);
    put_figure(w, "rise", FC_LENGTH, p->rise);
    for (i = 0; i < p->n_fittings; i++)
        fittings =
            fci_arena_printf(&w->arena, "%s%s%d %s", fittings, i ? ", " : "",
                             p->fittings[i].count, p->fittings[i].name);
    put_word(w, "fittings",
             p->no_fittings  ? "none"
             : p->n_fittings ? fittings
                             : NULL);
    put_word(w, "condition", conditions[p->condition]);
    put_figure(w, "c", FC_NUMBER, p->c);
    put_figure(w, "inside diameter", FC_LENGTH, p->inside_diameter);
}

static void
write_device(struct writer *w, const fc_device *d)
{
    put_word(w, "from", d->from);
    put_figure(w, "rise", FC_LENGTH, d->rise);
    put_loss(w, "loss", &d->loss);
    put_word(w, "kind", d->meter_kind);
    put_inches(w, "size", d->size);
}

static void
write_reducer(struct writer *w, const fc_reducer *r)
{
    put_word(w, "from", r->from);
    put_figure(w, "rise", FC_LENGTH, r->rise);
    put_figure(w, "set", FC_PRESSURE, r->set);
    put_pair(w, "fall-off", FC_PRESSURE, r->fall_off, FC_FLOW,
             r->fall_off_flow);
    put_loss(w, "loss", &r->loss);
}

static void
write_pump(struct writer *w, const fc_pump *p)
{
    static const char *const answers[] = { NULL, "yes", "no" };

    put_word(w, "from", p->from);
    put_figure(w, "rise", FC_LENGTH, p->rise);
    put(w, "curve", false, point_list(w, p->curve, p->n_curve, FC_LENGTH));
    put_figure(w, "hold", FC_PRESSURE, p->hold);
    put_word(w, "running", answers[p->running]);
}

static void
write_fixture(struct writer *w, const fc_fixture *f)
{
    static const char *const uses[] = { "public", "private", "assembly" };

    put_word(w, "on", f->on);
    put_word(w, "kind", f->kind);
    put_word(w, "use", f->use == FC_PUBLIC ? NULL : uses[f->use]);
    if (f->count)
        put(w, "count", false, fci_arena_printf(&w->arena, "%d", f->count));
    put_figure(w, "rise", FC_LENGTH, f->rise);
    put_inches(w, "supply size", f->supply_size);
    put_loss(w, "stop", &f->stop);
    put_figure(w, "bowl", FC_VOLUME, f->bowl);
    put_word(w, "existing", f->existing);
    put_word(w, "retrofit", f->retrofit);
    put_figure(w, "fixture units", FC_NUMBER, f->fixture_units);
    put_figure(w, "interval", FC_TIME, f->interval);
}

static void
write_valve(struct writer *w, const fc_valve *v)
{
    put_figure(w, "minimum flowing", FC_PRESSURE, v->minimum_flowing);
    put_figure(w, "maximum static", FC_PRESSURE, v->maximum_static);
    put_pair(w, "flow", FC_FLOW, v->flow, FC_PRESSURE, v->flow_pressure);
    put_figure(w, "full flush", FC_VOLUME, v->full_flush);
    put_figure(w, "reduced flush", FC_VOLUME, v->reduced_flush);
    put_figure(w, "closing time", FC_TIME, v->closing_time);
    put_word(w, "regulated", v->regulated == FC_YES ? "yes" : NULL);
}

static void
write_heater(struct writer *w, const fc_heater *h)
{
    const char *serves = "";
    size_t i;

    put_word(w, "on", h->on);
    for (i = 0; i < h->n_serves; i++)
        serves = fci_arena_printf(&w->arena, "%s%s%s", serves, i ? ", " : "",
                                  h->serves[i]);
    put_word(w, "serves", serves);
}

static void
write_part(struct writer *w, const struct building_part *part)
{
    switch (part->kind) {
    case FCI_SOURCE:
        write_source(w, &part->as.source);
        break;
    case FCI_PIPE:
        write_pipe(w, &part->as.pipe);
        break;
    case FCI_METER:
    case FCI_BACKFLOW:
    case FCI_DEVICE:
        write_device(w, &part->as.device);
        break;
    case FCI_REDUCER:
        write_reducer(w, &part->as.reducer);
        break;
    case FCI_PUMP:
        write_pump(w, &part->as.pump);
        break;
    case FCI_FIXTURE:
        write_fixture(w, &part->as.fixture);
        break;
    case FCI_VALVE:
        write_valve(w, &part->as.valve);
        break;
    case FCI_DEMAND:
        put_word(w, "on", part->as.demand.on);
        put_figure(w, "flow", FC_FLOW, part->as.demand.flow);
        break;
    case FCI_HEATER:
        write_heater(w, &part->as.heater);
        break;
    default:
        abort();
    }
}

/* ---- The file --------------------------------------------------------- */

/* The text, under noise with some of its letters in the other case. */
static void
print(struct writer *w, const char *text, bool word)
{
    for (; *text; text++) {
        char c = *text;

        if (word && w->style->noise && c >= 'a' && c <= 'z'
            && gsl_rng_uniform(w->style->noise) < 0.3)
            c = (char)(c - 'a' + 'A');
        fputc(c, w->out);
    }
}

/* White space and comments that mean nothing. */
static void
print_noise(struct writer *w, bool end_of_line)
{
    static const char *const between[] = {
        "", "\n", "; a remark\n", "  # length = 3\n", "\t\n", ""
    };
    static const char *const behind[] = { "\n", "  \n", " ; a remark\n",
                                          "\t# another\n", "\r\n" };

    if (!w->style->noise)
        fputs(end_of_line ? "\n" : "", w->out);
    else if (end_of_line)
        fputs(behind[gsl_rng_uniform_int(w->style->noise, 5)], w->out);
    else
        fputs(between[gsl_rng_uniform_int(w->style->noise, 6)], w->out);
}

static void
print_section(struct writer *w, const char *kind, const char *name)
{
    size_t *order =
        w->style->noise ? building_order(w->n, w->style->noise) : NULL;
    size_t i;

    fputc('[', w->out);
    print(w, kind, true);
    fputs(*name ? " " : "", w->out);
    print(w, name, true);
    fputc(']', w->out);
    print_noise(w, true);
    for (i = 0; i < w->n; i++) {
        const size_t at = order ? order[i] : i;

        print_noise(w, false);
        print(w, w->lines[at].key, true);
        fputs(w->style->noise ? "\t=" : " = ", w->out);
        print(w, w->lines[at].value, w->lines[at].word);
        print_noise(w, true);
    }
    fputc('\n', w->out);
    free(order);
    w->n = 0;
}

char *
building_text(const struct building *b, const struct building_style *style)
{
    struct writer w = { .b = b, .style = style };
    char *text = NULL;
    size_t length, i;

    w.out = open_memstream(&text, &length);
    if (!w.out)
        abort();
    write_settings(&w, &b->settings);
    print_section(&w, "site", "");
    for (i = 0; i < b->n_parts; i++) {
        const struct building_part *part =
            &b->parts[style->order ? style->order[i] : i];

        write_part(&w, part);
        print_section(&w, fci_part_kinds[part->kind].word, part->as.name);
    }
    fci_arena_free(&w.arena);
    if (fclose(w.out) != 0)
        abort();
    return text;
}

fc_site *
building_read(const struct building *b, const struct building_style *style)
{
    char *text = building_text(b, style);
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_site *site = NULL;
    size_t i;

    if (fc_site_read_text(text, strlen(text), "invented.ini", &site, messages)
        != FC_OK)
        for (i = 0; i < fc_diagnostics_count(messages); i++)
            fprintf(stderr, "%d: %s\n", fc_diagnostics_at(messages, i).line,
                    fc_diagnostics_at(messages, i).text);
    fc_diagnostics_free(messages);
    free(text);
    return site;
}
