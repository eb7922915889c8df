/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_pipes.c -- pipes, fittings and meters, by nominal size. */
#include "tables/table_entries.h"
#include "units/units.h"

#include <math.h>
#include <string.h>

/* ---- [pipe] ----------------------------------------------------------- */

#define GIGAPASCAL 1e9

struct pipe_keys {
    const char *title, *fittings, *c_source, *velocity_source;
    const char *roughness_source, *modulus_source;
    const char *const *not_stocked;
    size_t n_not_stocked;
    fc_range c_new, c_aged, c_old, bore_loss, velocity_limit, roughness;
    fc_range modulus, poisson;
    fc_answer dn;
};

static const struct fci_field pipe_keys[] = {
    FCI_TEXT_FIELD("title", struct pipe_keys, title),
    FCI_SKIP_FIELD("source"),
    FCI_SKIP_FIELD("note"),
    FCI_SKIP_FIELD("fittings source"),
    FCI_NAME_FIELD("fittings", struct pipe_keys, fittings, true),
    FCI_FIGURE_FIELD("c new", FC_NUMBER, FCI_POSITIVE, struct pipe_keys, c_new,
                     true),
    FCI_FIGURE_FIELD("c aged", FC_NUMBER, FCI_POSITIVE, struct pipe_keys,
                     c_aged, true),
    FCI_FIGURE_FIELD("c old", FC_NUMBER, FCI_POSITIVE, struct pipe_keys, c_old,
                     false),
    FCI_FIGURE_FIELD("bore loss", FC_NUMBER, FCI_FRACTION, struct pipe_keys,
                     bore_loss, false),
    FCI_SKIP_FIELD("old source"),
    FCI_TEXT_FIELD("c source", struct pipe_keys, c_source),
    FCI_FIGURE_FIELD("velocity limit", FC_VELOCITY, FCI_POSITIVE,
                     struct pipe_keys, velocity_limit, true),
    FCI_TEXT_FIELD("velocity source", struct pipe_keys, velocity_source),
    FCI_FIGURE_FIELD("roughness", FC_LENGTH, FCI_POSITIVE, struct pipe_keys,
                     roughness, false),
    FCI_TEXT_FIELD("roughness source", struct pipe_keys, roughness_source),
    { FCI_FIELD("elastic modulus gpa", &fci_range_field, FC_NUMBER,
                FCI_POSITIVE, struct pipe_keys, modulus) },
    FCI_FIGURE_FIELD("poisson ratio", FC_NUMBER, FCI_FRACTION,
                     struct pipe_keys, poisson, false),
    FCI_TEXT_FIELD("modulus source", struct pipe_keys, modulus_source),
    { FCI_FIELD("not stocked", &fci_names_field, FC_NUMBER, FCI_ANY,
                struct pipe_keys, not_stocked),
      .second = offsetof(struct pipe_keys, n_not_stocked) },
    FCI_SKIP_FIELD("stock source"),
    { FCI_FIELD("dn", &fci_yes_no_field, FC_NUMBER, FCI_ANY, struct pipe_keys,
                dn) },
};

static bool
read_length(struct fci_table_reader *r, const struct fci_entry *entry,
            const char *text, double *length)
{
    struct fci_reason why;
    fc_range value;

    if (!fci_read_figure(text, FC_LENGTH, false, &value, &why)) {
        fci_table_wrong(r, entry, "%s", why.text);
        return false;
    }
    *length = value.nominal;
    return true;
}

/* "0.875 in x 0.045 in": outside diameter x wall. */
static bool
read_outside(struct fci_table_reader *r, const struct fci_entry *entry,
             double *bore, double *wall)
{
    const char *text = entry->value;
    struct fci_reason why;
    double outside;

    if (!fci_read_leading_figure(&text, FC_LENGTH, &outside, &why)) {
        fci_table_wrong(r, entry, "%s", why.text);
        return false;
    }
    if (strncmp(text, "x ", 2) != 0) {
        fci_table_wrong_value(
            r, entry,
            "outside diameter x wall, such as 0.875 in x 0.045 "
            "in, or bore and a length");
        return false;
    }
    if (!read_length(r, entry, text + 2, wall))
        return false;
    *bore = *wall > 0 ? outside - 2 * *wall : 0;
    return true;
}

/* "bore 0.469 in", or "bore 0.469 in of 0.625 in": of outside diameter. */
static bool
read_bore_alone(struct fci_table_reader *r, const struct fci_entry *entry,
                double *bore, double *wall)
{
    const char *text = entry->value + strlen("bore ");
    const char *of = strstr(text, " of ");
    char inside[80];
    double outside;

    *wall = (double)NAN;
    if (!of || of - text >= (ptrdiff_t)sizeof inside)
        return read_length(r, entry, text, bore);
    snprintf(inside, sizeof inside, "%.*s", (int)(of - text), text);
    if (!read_length(r, entry, inside, bore)
        || !read_length(r, entry, of + strlen(" of "), &outside))
        return false;
    *wall = (outside - *bore) / 2;
    if (*wall > 0)
        return true;
    fci_table_wrong_value(r, entry, "a tube with a wall and a bore");
    return false;
}

/* Either of them. */
static bool
read_bore(struct fci_table_reader *r, const struct fci_entry *entry,
          double *bore, double *wall)
{
    if (strncmp(entry->value, "bore ", strlen("bore ")) == 0) {
        if (!read_bore_alone(r, entry, bore, wall))
            return false;
    } else if (!read_outside(r, entry, bore, wall)) {
        return false;
    }
    if (*bore >= fci_least(FC_LENGTH) && *bore <= fci_largest(FC_SIZE))
        return true;
    fci_table_wrong_value(r, entry, "a tube with a wall and a bore");
    return false;
}

static void
out_of_step(struct fci_table_reader *r, const struct fci_entry *smaller,
            const struct fci_entry *larger)
{
    const struct fci_entry *blamed = fci_table_blamed(r, smaller, larger);

    fci_table_wrong(r, blamed,
                    "is out of step with \"%.40s\"; bores that grow with the "
                    "size are expected",
                    blamed == larger ? smaller->key : larger->key);
}

static void
read_sizes(struct fci_table_reader *r, struct fci_material *material)
{
    size_t i, n, last = 0;
    struct fci_table_row *rows = fci_table_rows(r, FC_SIZE, &n);

    if (!rows)
        return;
    material->sizes = fci_table_array(r, n, sizeof *material->sizes);
    if (!material->sizes)
        return;
    for (i = 0; i < n; i++) {
        struct fci_size *size = &material->sizes[material->n_sizes];

        if (!read_bore(r, rows[i].entry, &size->bore, &size->wall))
            continue;
        size->label = rows[i].entry->key;
        size->nominal = rows[i].place;
        size->stocked = true;
        if (material->n_sizes > 0 && !(size->bore > size[-1].bore))
            out_of_step(r, rows[last].entry, rows[i].entry);
        material->n_sizes++;
        last = i;
    }
}

/* A supply house has every size but those. */
static void
mark_stock(struct fci_table_reader *r, struct fci_material *material,
           const struct pipe_keys *keys)
{
    const struct fci_entry *entry =
        fci_section_entry(&r->part->section, "not stocked");
    size_t i, k;

    for (i = 0; i < keys->n_not_stocked; i++) {
        struct fci_reason why;
        fc_range size = { 0 };

        if (!keys->not_stocked[i]) /* said already */
            return;
        if (!fci_read_figure(keys->not_stocked[i], FC_SIZE, false, &size,
                             &why)) {
            fci_table_wrong(r, entry, "%s", why.text);
            return;
        }
        for (k = 0; k < material->n_sizes; k++)
            if (fabs(material->sizes[k].nominal - size.nominal) < 1e-6)
                break;
        if (k < material->n_sizes)
            material->sizes[k].stocked = false;
        else
            fci_table_wrong(r, entry,
                            "names %.40s, which is no size of this table; "
                            "sizes of its rows are expected",
                            keys->not_stocked[i]);
    }
}

void
fci_table_read_pipe(struct fci_table_reader *r, void *entry)
{
    struct fci_material *material = entry;
    struct pipe_keys keys = { 0 };

    fci_table_fields(r, pipe_keys, FCI_COUNT_OF(pipe_keys), NULL, &keys);
    material->title = keys.title ? keys.title : material->head.name;
    material->c_new = keys.c_new.nominal;
    material->c_aged = keys.c_aged.nominal;
    material->c_old = keys.c_old.given ? keys.c_old.nominal : material->c_aged;
    if (material->c_old < material->c_aged) {
        material->c_put_in =
            fci_arena_printf(r->arena, "%g", material->c_aged);
        material->c_put_in_unknown = fci_arena_printf(
            r->arena, "%g..%g", material->c_aged, material->c_new);
        if (!material->c_put_in || !material->c_put_in_unknown)
            fci_table_note(r, FC_ENOMEM);
    }
    material->bore_loss = keys.bore_loss.given ? keys.bore_loss.nominal : 0;
    material->c_source = keys.c_source ? keys.c_source : material->head.source;
    material->velocity_limit = keys.velocity_limit.nominal;
    material->velocity_source =
        keys.velocity_source ? keys.velocity_source : material->head.source;
    material->dn = keys.dn == FC_YES;
    material->roughness = keys.roughness.given ? keys.roughness.nominal : NAN;
    material->modulus = keys.modulus;
    material->modulus.nominal *= GIGAPASCAL;
    material->modulus.low *= GIGAPASCAL;
    material->modulus.high *= GIGAPASCAL;
    material->poisson = keys.poisson.nominal;
    material->modulus_source =
        keys.modulus_source ? keys.modulus_source : material->head.source;
    if (keys.c_new.given && keys.c_aged.given
        && keys.c_aged.nominal > keys.c_new.nominal)
        fci_table_wrong(
            r,
            fci_table_blamed(r, fci_section_entry(&r->part->section, "c new"),
                             fci_section_entry(&r->part->section, "c aged")),
            "makes the aged pipe smoother than the new one; c aged no larger "
            "than c new is expected");
    read_sizes(r, material);
    mark_stock(r, material, &keys);
}

/* ---- [fittings] ------------------------------------------------------- */

struct fittings_keys {
    const char *const *columns;
    size_t n_columns;
};

static const struct fci_field fittings_keys[] = {
    FCI_COMMON_FIELDS,
    { FCI_FIELD("columns", &fci_names_field, FC_NUMBER, FCI_ANY,
                struct fittings_keys, columns),
      .second = offsetof(struct fittings_keys, n_columns) },
};

static void
read_columns(struct fci_table_reader *r, struct fci_fittings *fittings)
{
    struct fittings_keys keys = { 0 };
    size_t i, value;
    fc_status status;
    bool known;

    fci_table_fields(r, fittings_keys, FCI_COUNT_OF(fittings_keys), NULL,
                     &keys);
    if (!keys.columns) {
        fci_table_wrong(r, NULL,
                        "lacks \"columns\"; the names of the fittings, "
                        "separated by commas, are needed");
        return;
    }
    fittings->columns = (const char **)fci_table_array(
        r, keys.n_columns, sizeof *fittings->columns);
    for (i = 0; fittings->columns && i < keys.n_columns; i++) {
        if (!keys.columns[i]) /* said already */
            return;
        value = i;
        status =
            fci_names_enter(&fittings->names, keys.columns[i], &value, &known);
        fci_table_note(r, status);
        if (status == FC_OK && known)
            fci_table_wrong(r, fci_section_entry(&r->part->section, "columns"),
                            "names \"%.40s\" twice; each fitting once is "
                            "expected",
                            keys.columns[i]);
        fittings->columns[i] = keys.columns[i];
    }
    if (fittings->columns)
        fittings->n_columns = keys.n_columns;
}

/* False: a built-in row does not fit amended columns; once is enough. */
static bool
count_values(struct fci_table_reader *r, const struct fci_entry *entry,
             size_t values, size_t columns)
{
    const struct fci_entry *named =
        fci_section_entry(&r->part->section, "columns");
    const struct fci_entry *blamed = fci_table_blamed(r, named, entry);

    if (values == columns)
        return true;
    if (blamed == named) {
        fci_table_wrong(r, named,
                        "names %zu fittings where the built-in rows have %zu; "
                        "a table under a name of its own is expected",
                        columns, values);
        return false;
    }
    fci_table_wrong(r, entry,
                    "has %zu values for %zu columns; a length, or a dash, for "
                    "each column is expected",
                    values, columns);
    return true;
}

static bool
read_lengths(struct fci_table_reader *r, const struct fci_entry *entry,
             size_t n, double *lengths)
{
    const char *list = entry->value;
    struct fci_reason why;
    char item[80];
    size_t i;

    for (i = 0; fci_table_next_item(&list, item, sizeof item); i++) {
        if (i >= n)
            continue; /* counted on */
        if (!fci_table_figure_or_dash(item, FC_LENGTH, &lengths[i], &why)) {
            fci_table_wrong(r, entry, "%s", why.text);
            return true;
        }
        if (lengths[i] < 0) {
            fci_table_wrong_value(r, entry,
                                  "a length of 0 or more, or a dash,");
            return true;
        }
    }
    return count_values(r, entry, i, n);
}

void
fci_table_read_fittings(struct fci_table_reader *r, void *entry)
{
    struct fci_fittings *fittings = entry;
    struct fci_table_row *rows;
    size_t i, n;

    read_columns(r, fittings);
    rows = fci_table_rows(r, FC_SIZE, &n);
    if (!rows || !fittings->n_columns)
        return;
    fittings->sizes = fci_table_array(r, n, sizeof *fittings->sizes);
    fittings->lengths =
        fci_table_array(r, n, fittings->n_columns * sizeof *fittings->lengths);
    if (!fittings->sizes || !fittings->lengths)
        return;
    fittings->n_rows = n;
    for (i = 0; i < n; i++) {
        fittings->sizes[i] = rows[i].place;
        if (!read_lengths(r, rows[i].entry, fittings->n_columns,
                          fittings->lengths + i * fittings->n_columns))
            return;
    }
}

/* ---- [meter] ---------------------------------------------------------- */

struct meter_keys {
    fc_range change_over;
};

static const struct fci_field meter_keys[] = {
    FCI_COMMON_FIELDS,
    { FCI_FIELD("change-over", &fci_figure_field, FC_PRESSURE, FCI_POSITIVE,
                struct meter_keys, change_over) },
};

/* "15 psi at 20 gpm", "15 .. 20 psi at 160 gpm". */
static void
read_rating(struct fci_table_reader *r, const struct fci_entry *entry,
            struct fci_meter_size *size)
{
    const char *at = strstr(entry->value, " at ");
    char pressure[80];
    struct fci_reason why;
    fc_range loss, flow;

    if (!at || at - entry->value >= (ptrdiff_t)sizeof pressure) {
        loss.low = loss.high = flow.nominal = 0;
    } else {
        snprintf(pressure, sizeof pressure, "%.*s", (int)(at - entry->value),
                 entry->value);
        if (!fci_read_figure(pressure, FC_PRESSURE, true, &loss, &why)
            || !fci_read_figure(at + 4, FC_FLOW, false, &flow, &why)) {
            fci_table_wrong(r, entry, "%s", why.text);
            return;
        }
    }
    if (!(loss.low >= fci_least(FC_PRESSURE)
          && loss.high <= fci_largest(FC_PRESSURE))
        || !(flow.nominal >= fci_least(FC_FLOW)
             && flow.nominal <= fci_largest(FC_FLOW))) {
        fci_table_wrong_value(
            r, entry,
            "a pressure at a flow, both above 0, such as 15 psi at "
            "20 gpm,");
        return;
    }
    size->loss = loss.low;
    size->most = loss.high;
    size->flow = flow.nominal;
}

void
fci_table_read_meter(struct fci_table_reader *r, void *entry)
{
    struct fci_meter_kind *meter = entry;
    struct fci_table_row *rows;
    struct meter_keys keys = { 0 };
    size_t i, n;

    fci_table_fields(r, meter_keys, FCI_COUNT_OF(meter_keys), NULL, &keys);
    meter->change_over = keys.change_over.given ? keys.change_over.nominal : 0;
    rows = fci_table_rows(r, FC_SIZE, &n);
    if (!rows)
        return;
    meter->sizes = fci_table_array(r, n, sizeof *meter->sizes);
    if (!meter->sizes)
        return;
    meter->n_sizes = n;
    for (i = 0; i < n; i++) {
        meter->sizes[i].label = rows[i].entry->key;
        meter->sizes[i].nominal = rows[i].place;
        read_rating(r, rows[i].entry, &meter->sizes[i]);
    }
}
