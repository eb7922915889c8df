/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/site/resolve_pipe.c -- what a pipe's material and size stand for. */
#include "site/pipe_size.h"
#include "site/resolve.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A pipe under resolution. */
struct pipe {
    struct fci_resolve *r;
    const struct fci_part *part;
    struct fci_pipe *out;
    bool failed;
};

#define FAIL(p, ...)                                                          \
    ((p)->failed = true,                                                      \
     fci_resolve_note(                                                        \
         (p)->r, fci_part_fail((p)->part, (p)->r->messages, __VA_ARGS__)))

/* ---- Material --------------------------------------------------------- */

const struct fci_material *
fci_resolve_material(struct fci_resolve *r, const struct fci_part *part,
                     const char *name)
{
    const struct fci_material *material =
        fci_tables_material(r->site->tables, name);
    const struct fci_book book = fci_tables_materials(r->site->tables);

    if (!material)
        fci_resolve_refuse(r, part, "material", name, &book,
                           "is not in the pipe tables",
                           "a material is expected: ");
    return material;
}

static void
find_material(struct pipe *p, const struct fci_material *of_site)
{
    const fc_pipe *given = p->out->given;

    if (given->material) {
        p->out->material =
            fci_resolve_material(p->r, p->part, given->material);
        p->failed = !p->out->material;
    } else if (p->r->site->settings.material) {
        p->out->material = of_site;
        p->failed = !of_site; /* said once, of [site] */
    } else if (fci_part_has_key(p->part, "material"))
        p->failed = true; /* not understood: said already */
    else if (given->choose_size)
        FAIL(p, NULL,
             "lacks \"material\"; a material is needed here or in [site], as "
             "the size is chosen from those of its table");
    else if (!given->c.given || !given->inside_diameter.given)
        FAIL(p, NULL,
             "lacks \"material\"; a material is needed here or in [site], "
             "or both c and inside diameter");
}

/* The sizes of a material, for a message. */
static void
list_sizes(const struct fci_material *material, char *text, size_t room)
{
    size_t i, used = 0;

    text[0] = '\0';
    for (i = 0; i < material->n_sizes && used < room; i++)
        used += (size_t)snprintf(text + used, room - used, "%s%s",
                                 i ? ", " : "", material->sizes[i].label);
}

static const struct fci_size *
find_size(struct pipe *p, double nominal)
{
    const struct fci_size *size = fci_material_size(p->out->material, nominal);
    struct fci_shown shown = fci_show(FC_US, FC_SIZE, nominal);
    char known[200];

    if (size)
        return size;
    list_sizes(p->out->material, known, sizeof known);
    FAIL(p, "size", "%s is not a size of %s; one of %s is expected",
         shown.text, p->out->material->head.name, known);
    return NULL;
}

/* ---- Bore ------------------------------------------------------------- */

/* Scale may leave less: pipe with 40 % of its bore gone loses twelve times as
 * much and is replaced; common practice. */
#define LEFT_OF_SCALED 0.6

/* Bores of pipe are made to a few per cent. */
#define ROOM_OF_BORE 1.05

#define NOTHING 1e-6 /* m: refused already, as good as none */

/* A measured bore against those of its nominal size, in any material. */
static void
check_bore(struct pipe *p)
{
    const fc_range bore = p->out->given->inside_diameter;
    const fc_range size = p->out->given->size;
    const struct fci_tables *tables = p->r->site->tables;
    double smallest, largest, unused;

    if (!bore.given || !size.given || bore.low < NOTHING
        || !fci_tables_bores(tables, size.low, &smallest, &unused)
        || !fci_tables_bores(tables, size.high, &unused, &largest))
        return;
    smallest *= LEFT_OF_SCALED;
    largest *= ROOM_OF_BORE;
    if (bore.low < smallest || bore.high > largest)
        FAIL(p, "inside diameter",
             "is %s, which no %s pipe has; %s (badly scaled) to %s is "
             "expected",
             fci_show_diameter(FC_US,
                               bore.low < smallest ? bore.low : bore.high)
                 .text,
             fci_show(FC_US, FC_SIZE, size.nominal).text,
             fci_show_diameter(FC_US, smallest).text,
             fci_show_diameter(FC_US, largest).text);
}

/* ---- Bore and C ------------------------------------------------------- */

static void
find_bore(struct pipe *p)
{
    const fc_pipe *given = p->out->given;
    const struct fci_size *low, *high;

    p->out->measured_bore = given->inside_diameter.given;
    p->out->bore = given->inside_diameter;
    check_bore(p);
    if (!given->size.given) {
        if (!given->inside_diameter.given && !given->choose_size
            && !fci_part_has_key(p->part, "size"))
            FAIL(p, NULL,
                 "lacks \"size\"; a nominal size is needed, such as "
                 "1-1/4 in or DN32, or an inside diameter");
        return;
    }
    if (!p->out->material) /* its absence was reported, or is no matter */
        return;
    p->out->size = find_size(p, given->size.nominal);
    low = given->size.low < given->size.nominal ? find_size(p, given->size.low)
                                                : p->out->size;
    high = given->size.high > given->size.nominal
               ? find_size(p, given->size.high)
               : p->out->size;
    if (!p->out->measured_bore && p->out->size && low && high) {
        p->out->bore.given = true;
        p->out->bore.nominal = p->out->size->bore;
        p->out->bore.low = low->bore;
        p->out->bore.high = high->bore;
    }
}

static void
find_c(struct pipe *p)
{
    const fc_site *site = p->r->site;

    if (p->out->given->c.given) {
        p->out->c = p->out->given->c;
        fci_widen(&p->out->c, &site->tolerance.c, 1);
    } else if (p->out->material)
        p->out->c = fci_table_c(site, p->out, !p->out->given->choose_size);
}

/* What nobody gave: fittings, and what an old pipe has lost of its bore.  A
 * measured bore tells that, and so does a C: a test reckons it with the bore
 * of the size, so that what scale has taken is in it (common practice). */
static void
find_usual(struct pipe *p)
{
    const fc_pipe *given = p->out->given;
    const fc_site *site = p->r->site;

    if (given->n_fittings == 0 && !given->no_fittings
        && !fci_part_has_key(p->part, "fittings"))
        p->out->allowance =
            fci_tables_usual(site->tables, FCI_USUAL_FITTINGS)->range;
    if (p->out->material && p->out->material->bore_loss > 0 && !given->c.given
        && !p->out->measured_bore && !given->choose_size
        && fci_pipe_condition(site, p->out) != FC_NEW)
        p->out->scale = fc_between(0, p->out->material->bore_loss);
}

static void
find_velocity_limit(struct pipe *p)
{
    const fc_pipe *given = p->out->given;
    const fc_settings *settings = &p->r->site->settings;

    if (given->velocity_limit.given)
        p->out->velocity_limit = given->velocity_limit.nominal;
    else if (settings->velocity_limit.given)
        p->out->velocity_limit = settings->velocity_limit.nominal;
    else if (p->out->material)
        p->out->velocity_limit = p->out->material->velocity_limit;
    else
        p->out->velocity_limit = NAN;
}

/* ---- Fittings --------------------------------------------------------- */

static void
refuse_fitting(struct pipe *p, const struct fci_fittings *table,
               const char *name)
{
    const struct fci_book book = fci_fittings_book(table);
    const enum fci_kind kind = fci_part_kind_of(name);
    char unknown[120];

    if (kind != FCI_KINDS && fci_is_element(kind)
        && !*fci_book_ambiguity(&book, name).text) {
        FAIL(p, "fittings",
             "\"%.40s\" is no fitting; a section of its own is expected, "
             "such as [%.40s %s-1], with its loss",
             name, name, fci_part_kinds[kind].word);
        return;
    }
    snprintf(unknown, sizeof unknown, "is not in the table of %.60s fittings",
             table->head.name);
    p->failed = true;
    fci_resolve_refuse(
        p->r, p->part, "fittings", name, &book, unknown,
        "its equivalent length is expected as part of the length, or a "
        "[device] with its loss, or one of: ");
}

/* Whether the fittings can be looked up at all; each name once. */
static bool
know_fittings(struct pipe *p)
{
    const fc_pipe *given = p->out->given;
    const struct fci_fittings *table;
    bool known = true, column;
    size_t i;

    if (given->n_fittings == 0)
        return false;
    if (given->choose_size && !p->out->material)
        return false;
    if (!given->choose_size && (!p->out->material || !given->size.given)) {
        if (!given->size.given && !fci_part_has_key(p->part, "size"))
            FAIL(p, "fittings",
                 "cannot be looked up without a size; a size is needed, or "
                 "their equivalent length as part of the length");
        return false;
    }
    table = p->out->material->fittings;
    for (i = 0; i < given->n_fittings; i++) {
        fci_fittings_length(table, given->fittings[i].name,
                            given->size.nominal, &column);
        if (!column)
            refuse_fitting(p, table, given->fittings[i].name);
        known = known && column;
    }
    return known;
}

/* ---- Resistance ------------------------------------------------------- */

/* One size that the pipe may have: its loss at the worst and best ends. */
static void
bound_by(struct pipe *p, fc_range bore, double equivalent)
{
    const double weight = p->r->site->water_weight;
    double *resistance = p->out->resistance;

    resistance[FCI_WORST] =
        fmax(resistance[FCI_WORST],
             fci_pipe_resistance(weight, p->out, bore, equivalent, FCI_WORST));
    resistance[FCI_BEST] =
        fmin(resistance[FCI_BEST],
             fci_pipe_resistance(weight, p->out, bore, equivalent, FCI_BEST));
}

/* Every size between the ends is tried: fittings of a larger size may count
 * for more length, so the ends alone need not bound the loss. */
static void
find_resistance(struct pipe *p, bool fittings)
{
    struct fci_pipe *out = p->out;
    const fc_range size = out->given->size;
    size_t i;

    out->equivalent = fittings ? fci_equivalent_length(out, size.nominal) : 0;
    out->resistance[FCI_NOMINAL] =
        fci_pipe_resistance(p->r->site->water_weight, out, out->bore,
                            out->equivalent, FCI_NOMINAL);
    out->resistance[FCI_WORST] = 0;
    out->resistance[FCI_BEST] = INFINITY;
    if (!out->material || !size.given) {
        bound_by(p, out->bore, 0);
        return;
    }
    for (i = 0; i < out->material->n_sizes; i++) {
        const struct fci_size *s = &out->material->sizes[i];

        if (s->nominal >= size.low - 1e-6 && s->nominal <= size.high + 1e-6)
            bound_by(p, out->measured_bore ? out->bore : fc_exactly(s->bore),
                     fittings ? fci_equivalent_length(out, s->nominal) : 0);
    }
}

static void
resolve_pipe(struct pipe *p, const struct fci_material *of_site)
{
    bool fittings;

    find_material(p, of_site);
    find_bore(p);
    find_c(p);
    find_velocity_limit(p);
    p->out->length = p->out->given->length;
    if (!p->failed)
        find_usual(p);
    fittings = !p->failed && know_fittings(p);
    if (!p->failed && !p->out->given->choose_size)
        find_resistance(p, fittings);
}

void
fci_resolve_pipes(struct fci_resolve *r)
{
    fc_site *site = r->site;
    const struct fci_material *of_site = NULL;
    size_t i;

    if (site->settings.material)
        of_site = fci_resolve_material(r, site->settings_part,
                                       site->settings.material);
    for (i = 0; i < site->n_elements && r->worst != FC_ENOMEM; i++) {
        struct fci_element *element = &site->elements[i];
        struct pipe p = { r, element->part, NULL, false };

        if (element->part->kind != FCI_PIPE)
            continue;
        p.out = fci_arena_alloc(&site->arena, sizeof *p.out);
        if (!p.out) {
            fci_resolve_note(r, FC_ENOMEM);
            return;
        }
        element->pipe = p.out;
        p.out->given = element->part->data;
        resolve_pipe(&p, of_site);
    }
}

/* ---- Meters by kind and size ------------------------------------------ */

/* What the kind and the size leave open is held to lie anywhere. */
static void
resolve_meter(struct fci_resolve *r, struct fci_element *element)
{
    const struct fci_part *part = element->part;
    fc_device *device = part->data;
    const struct fci_meter_kind *kind =
        fci_tables_meter(r->site->tables, device->meter_kind);
    const struct fci_book book = fci_tables_meter_names(r->site->tables);
    size_t i;

    if (!kind) {
        fci_resolve_refuse(r, part, "kind", device->meter_kind, &book,
                           "is not in the meter tables",
                           "a kind is expected: ");
        return;
    }
    for (i = 0; i < kind->n_sizes; i++)
        if (fabs(kind->sizes[i].nominal - device->size.nominal) < 1e-6) {
            device->loss.kind = FC_SQUARE_LOSS;
            device->loss.pressure =
                fc_between(kind->sizes[i].loss, kind->sizes[i].most);
            device->loss.flow = fc_exactly(kind->sizes[i].flow);
            element->change_over = kind->change_over;
            if (kind->change_over > 0)
                element->shape = (fc_range){ true, 0, 0, 1 };
            return;
        }
    fci_resolve_note(
        r, fci_part_fail(part, r->messages, "size",
                         "%s is not in the table of %s meters; a size from "
                         "%s to %s is expected",
                         fci_show(FC_US, FC_SIZE, device->size.nominal).text,
                         kind->head.name, kind->sizes[0].label,
                         kind->sizes[kind->n_sizes - 1].label));
}

void
fci_resolve_meters(struct fci_resolve *r)
{
    size_t i;

    for (i = 0; i < r->site->n_elements && r->worst != FC_ENOMEM; i++) {
        const struct fci_part *part = r->site->elements[i].part;
        const fc_device *device = part->data;

        if (part->kind == FCI_METER && device->meter_kind
            && device->loss.kind == FC_NO_LOSS && device->size.given)
            resolve_meter(r, &r->site->elements[i]);
    }
}
