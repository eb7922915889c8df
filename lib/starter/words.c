/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/words.c -- answers that name an entry of the tables. */
#include "ground/names.h"
#include "ground/synonyms.h"
#include "starter/reading.h"
#include "ini/field_type.h"
#include "units/units.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* ---- The title --------------------------------------------------------- */

/* It stands in the site file in quotes where it holds what begins a
 * comment. */
static void
check_title(struct fci_answer_reading *r)
{
    const char *title = r->a->title;

    if (title
        && (*title == '"' || strchr(title, '{')
            || (strchr(title, '"') && strpbrk(title, ";#"))))
        fci_answer_wrong(r, FCI_ASK_TITLE,
                         "\"%.60s\" holds a quote or a brace that a site "
                         "file cannot hold there; a title without is expected",
                         title);
}

/* ---- Names ------------------------------------------------------------- */

/* Refuse a name with what is known. */
static void
unknown_name(struct fci_answer_reading *r, enum fci_answer key,
             const char *name, struct fci_book book, const char *expected)
{
    fci_answer_wrong(
        r, key, "\"%.60s\" %s", name,
        fci_book_refusal(&book, name, "is not known", expected).text);
}

static void
read_material(struct fci_answer_reading *r)
{
    struct fci_answers *a = r->a;
    const char *name = a->material_name;

    if (!name)
        name = a->units == FC_SI ? "copper en 1057" : "copper L";
    a->material = fci_tables_material(r->tables, name);
    if (!a->material)
        unknown_name(r, FCI_ASK_MATERIAL, name,
                     fci_tables_materials(r->tables),
                     "a material is expected: ");
}

static void
check_size(struct fci_answer_reading *r, enum fci_answer key, fc_range size)
{
    const struct fci_material *m = r->a->material;

    if (size.given && m
        && (!fci_material_size(m, size.low)
            || !fci_material_size(m, size.high)))
        fci_answer_wrong(r, key,
                         "\"%.60s\"; a size of %s is expected, from %s to %s",
                         r->a->text[key], m->head.name, m->sizes[0].label,
                         m->sizes[m->n_sizes - 1].label);
}

/* ---- The meter: "2 in", "3 in compound", "none" ------------------------ */

static const struct fci_meter_size *
size_of_kind(const struct fci_meter_kind *kind, double nominal)
{
    size_t i;

    for (i = 0; i < kind->n_sizes; i++)
        if (fabs(kind->sizes[i].nominal - nominal) < 1e-6)
            return &kind->sizes[i];
    return NULL;
}

/* Where the kind is not known: most small ones are displacement meters, and of
 * the larger ones a compound meter loses most. */
static const struct fci_meter_kind *
likely_kind(const struct fci_tables *tables, double nominal)
{
    const struct fci_meter_kind *small =
        fci_tables_meter(tables, "displacement");

    return size_of_kind(small, nominal) ? small
                                        : fci_tables_meter(tables, "compound");
}

static void
read_meter(struct fci_answer_reading *r)
{
    struct fci_answers *a = r->a;
    const char *text = a->meter;
    struct fci_reason why;
    double nominal;

    a->no_meter = text && fci_same_name(text, "none");
    if (!text || a->no_meter)
        return;
    if (!fci_read_leading_figure(&text, FC_SIZE, &nominal, &why)) {
        fci_answer_wrong(r, FCI_ASK_METER,
                         "\"%.60s\"; a size is expected, and a kind where it "
                         "is known, such as 2 in or 3 in compound, or none",
                         a->meter);
        return;
    }
    a->meter_size = fc_exactly(nominal);
    a->meter_kind_given = *text != '\0';
    a->meter_kind = a->meter_kind_given ? fci_tables_meter(r->tables, text)
                                        : likely_kind(r->tables, nominal);
    if (!a->meter_kind)
        unknown_name(r, FCI_ASK_METER, text, fci_tables_meter_names(r->tables),
                     "a kind of meter is expected: ");
    else if (!size_of_kind(a->meter_kind, nominal))
        fci_answer_wrong(
            r, FCI_ASK_METER,
            "\"%.60s\" is not in the table of %s meters; a size from %s to %s "
            "is expected",
            a->meter, a->meter_kind->head.name, a->meter_kind->sizes[0].label,
            a->meter_kind->sizes[a->meter_kind->n_sizes - 1].label);
}

/* ---- The backflow preventer -------------------------------------------- */

static void
read_backflow(struct fci_answer_reading *r)
{
    static const struct {
        const char *word;
        enum fci_preventer preventer;
    } words[] = {
        { "none", FCI_NO_PREVENTER },
        { "rp", FCI_RP },
        { "double check", FCI_DOUBLE_CHECK },
    };
    size_t i;

    if (!r->a->backflow)
        return;
    for (i = 0; i < sizeof words / sizeof *words; i++)
        if (fci_means("choices", r->a->backflow, words[i].word))
            r->a->preventer = words[i].preventer;
    if (r->a->preventer == FCI_PREVENTER_UNKNOWN)
        fci_answer_wrong(r, FCI_ASK_BACKFLOW,
                         "\"%.60s\"; rp, double check or none is expected",
                         r->a->backflow);
}

/* ---- Valves ------------------------------------------------------------ */

/* "siphonic closet 3.5 gal, urinal 1.0 gal" */
static void
read_valves(struct fci_answer_reading *r, enum fci_answer key,
            const char *text, int state)
{
    const char *list = text;
    char item[128];

    while (fci_next_item(&list, item, sizeof item)) {
        const struct fci_valve_class *valve =
            fci_tables_valve(r->tables, item);
        const struct fci_valve_class **place;

        if (!valve || !valve->serves) {
            unknown_name(r, key, item, fci_tables_valves(r->tables),
                         "a class of valve is expected: ");
            return;
        }
        place = strcmp(valve->serves, "urinal") == 0 ? &r->a->urinal[state]
                                                     : &r->a->closet[state];
        if (*place) {
            fci_answer_wrong(r, key,
                             "\"%s\" and \"%s\" are for the same fixtures; "
                             "one class for closets and one for urinals are "
                             "expected",
                             (*place)->head.name, valve->head.name);
            return;
        }
        *place = valve;
    }
}

void
fci_answers_read_words(struct fci_answer_reading *r)
{
    struct fci_answers *a = r->a;
    struct fci_zone *booster = NULL;
    size_t n = 0;

    check_title(r);
    read_material(r);
    check_size(r, FCI_ASK_SERVICE, a->service);
    check_size(r, FCI_ASK_RISER, a->riser);
    check_size(r, FCI_ASK_BRANCH, a->branch);
    read_meter(r);
    read_backflow(r);
    read_valves(r, FCI_ASK_EXISTING, a->existing, 0);
    read_valves(r, FCI_ASK_RETROFIT, a->retrofit, 1);
    fci_answer_read_zones(r, FCI_ASK_BOOSTER, 1, &booster, &n);
    a->booster = booster;
    fci_answer_read_zones(r, FCI_ASK_PRV_ZONES, FCI_MOST_STORIES, &a->prvs,
                          &a->n_prvs);
}
