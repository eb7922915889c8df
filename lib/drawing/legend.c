/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/legend.c -- what the symbols of a riser diagram mean; see
 * legend.h. */
#include "drawing/legend.h"

#include <string.h>

#define ROW 22.0
#define APART 24.0 /* between two entries */
#define TEXT 18.0  /* from a symbol's middle to its word */
#define MOST 20

/* A symbol with its word, or a sentence. */
struct entry {
    const struct fci_element *element;
    const struct fci_fixture *fixture;
    enum fci_mark mark;
    const char *word;
};

struct entries {
    struct entry list[MOST];
    size_t n;
};

static void
add(struct entries *e, struct entry entry)
{
    size_t i;

    for (i = 0; i < e->n; i++)
        if (strcmp(e->list[i].word, entry.word) == 0)
            return;
    if (e->n < MOST)
        e->list[e->n++] = entry;
}

static void
add_outlets(struct entries *e, const struct fci_diagram *d)
{
    size_t i;

    for (i = 0; i < d->fold.n_outlets; i++) {
        const struct fci_outlet *outlet = &d->fold.outlets[i];
        const struct fci_fixture *fixture =
            outlet->is_draw ? NULL : &d->site->fixtures[outlet->shown];

        add(e, (struct entry){ .fixture = fixture,
                               .word = !fixture ? "steady draw"
                                       : fixture->valve[FC_EXISTING]
                                               || fixture->valve[FC_RETROFIT]
                                           ? "flush valve"
                                           : "other outlet" });
    }
}

static void
add_marks(struct entries *e, const struct fci_diagram *d)
{
    bool seen[FCI_MARK_WORKS + 1] = { false };
    size_t i, k;

    for (i = 0; i < d->n_cells; i++)
        for (k = 0; k < d->shown[i].n_told; k++)
            seen[d->shown[i].told[k].mark] = true;
    if (seen[FCI_MARK_SHORT])
        add(e, (struct entry){ .mark = FCI_MARK_SHORT,
                               .word = "short, or over a limit" });
    if (seen[FCI_MARK_DOUBT])
        add(e,
            (struct entry){ .mark = FCI_MARK_DOUBT, .word = "cannot tell" });
    if (seen[FCI_MARK_WORKS])
        add(e, (struct entry){ .mark = FCI_MARK_WORKS, .word = "works" });
}

static void
add_sentences(struct entries *e, const struct fci_diagram *d)
{
    if (d->result && d->result->converted)
        add(e, (struct entry){ .word = "at an outlet: static / existing / "
                                       "after retrofit" });
    else if (d->result)
        add(e, (struct entry){ .word = "at an outlet: static / residual" });
    add(e, (struct entry){
               .word = d->heights.any_broken
                           ? "Elevations to scale, but for breaks; lengths not"
                           : "Elevations to scale, lengths not" });
    add(e, (struct entry){
               .word = "Symbols after ASME Y32.2.3, Y32.4, ISO 14617" });
}

static struct entries
gather(const struct fci_diagram *d)
{
    struct entries e = { .n = 0 };
    size_t i;

    for (i = 0; i < d->fold.n_drawn; i++) {
        const struct fci_element *element =
            &d->site->elements[d->fold.drawn[i].element];
        const char *word = fci_symbol_word(element);

        if (word)
            add(&e, (struct entry){ .element = element, .word = word });
    }
    add_outlets(&e, d);
    add_marks(&e, d);
    add_sentences(&e, d);
    return e;
}

static bool
has_symbol(const struct entry *entry)
{
    return entry->element || entry->fixture || entry->mark != FCI_MARK_NONE
           || strcmp(entry->word, "steady draw") == 0;
}

static void
draw_entry(struct fci_svg *svg, const struct entry *entry, double x, double y,
           double width)
{
    double text = x;

    if (has_symbol(entry)) {
        if (entry->element)
            fci_symbol_element(svg, entry->element, x + 10, y);
        else if (entry->mark != FCI_MARK_NONE)
            fci_symbol_mark(svg, entry->mark, x + 10, y);
        else
            fci_symbol_outlet(svg, entry->fixture, x + 10, y);
        text += 10 + TEXT;
    }
    fci_svg_label(svg, FCI_START, text, y + 4, x + width - text, entry->word);
}

/* From left to right, row by row; NULL: only how high it is. */
static double
flow(struct fci_svg *svg, const struct fci_diagram *d, double x, double y,
     double width)
{
    const struct entries e = gather(d);
    double at = 0, row = 0;
    size_t i;

    for (i = 0; i < e.n; i++) {
        const struct entry *entry = &e.list[i];
        const double wide =
            fci_svg_width(entry->word) + (has_symbol(entry) ? 10 + TEXT : 0);

        if (at > 0 && at + wide > width) {
            at = 0;
            row++;
        }
        if (svg)
            draw_entry(svg, entry, x + at, y + ROW * (row + 0.5), width - at);
        at += wide + APART;
    }
    return ROW * (row + 1);
}

double
fci_legend_height(const struct fci_diagram *d, double width)
{
    return flow(NULL, d, 0, 0, width);
}

void
fci_legend_draw(struct fci_svg *svg, const struct fci_diagram *d, double x,
                double y, double width)
{
    flow(svg, d, x, y, width);
}
