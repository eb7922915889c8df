/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/symbols.c -- the symbols of a riser diagram; see symbols.h. */
#include "drawing/symbols.h"

/* Paths about the middle; the second is filled. */
struct symbol {
    const char *word, *open, *filled;
};

static const struct symbol main_symbol = { "city main", "M-4-9V9M0-9V9",
                                           "M0-4L9 0L0 4Z" };
static const struct symbol tank_symbol = { "tank", "M-9-9V9H9V-9M-9-3H9",
                                           NULL };
static const struct symbol constant_symbol = { "constant pressure",
                                               "M-9-9H9V9H-9Z",
                                               "M-4-4L5 0L-4 4Z" };

/* A vessel with water up to the middle. */
static const struct symbol pressure_tank_symbol = {
    "pressure tank", "M-7-5A7 5 0 0 1 7-5V5A7 5 0 0 1-7 5ZM-7 0H7", NULL
};

static const struct symbol symbols[FCI_KINDS] = {
    /* [Y32]: a square with an M */
    [FCI_METER] = { "meter", "M-9-9H9V9H-9ZM-4 5V-4L0 2L4-4V5", NULL },
    /* [Y32]: two check valves in a row, in a frame as one assembly */
    [FCI_BACKFLOW] = { "backflow preventer", "M-10-9H10V9H-10ZM-1-6V6M8-6V6",
                       "M-8-6L-1 0L-8 6ZM1-6L8 0L1 6Z" },
    [FCI_DEVICE] = { "device with a loss", "M-9-9H9V9H-9ZM-6 0H6", NULL },
    /* [Y32]: a valve with its diaphragm above */
    [FCI_REDUCER] = { "PRV", "M-9-1L9 9V-1L-9 9ZM0 4V-4M-6-4A6 6 0 0 1 6-4Z",
                      NULL },
    /* [I14] */
    [FCI_PUMP] = { "pump", "M-9 0a9 9 0 1 0 18 0a9 9 0 1 0-18 0Z",
                   "M-4-7L9 0L-4 7Z" },
};

static const struct symbol *
symbol_of(const struct fci_element *element)
{
    const struct symbol *symbol = &symbols[element->part->kind];
    const fc_source *source = element->part->data;

    if (element->part->kind == FCI_SOURCE)
        switch (source->kind) {
        case FC_TANK:
            return &tank_symbol;
        case FC_FIXED:
            return source->volume.given ? &pressure_tank_symbol
                                        : &constant_symbol;
        default:
            return &main_symbol;
        }
    return symbol->word ? symbol : NULL;
}

static void
draw(struct fci_svg *svg, double x, double y, const char *class,
     const char *color, const char *open, const char *filled)
{
    fci_svg_open(svg, "g", "class", class, "stroke", color, "stroke-width",
                 "1.4", "fill", "#fff", NULL);
    if (open)
        fci_svg_shape(svg, x, y, open);
    fci_svg_close(svg);
    if (!filled)
        return;
    fci_svg_open(svg, "g", "fill", color, NULL);
    fci_svg_shape(svg, x, y, filled);
    fci_svg_close(svg);
}

bool
fci_symbol_element(struct fci_svg *svg, const struct fci_element *element,
                   double x, double y)
{
    const struct symbol *symbol = symbol_of(element);

    if (symbol)
        draw(svg, x, y, "symbol", FCI_INK, symbol->open, symbol->filled);
    return symbol != NULL;
}

const char *
fci_symbol_word(const struct fci_element *element)
{
    const struct symbol *symbol = symbol_of(element);

    return symbol ? symbol->word : NULL;
}

/* A flush valve: an angle valve with the tailpiece of its closet; any other
 * outlet: a tap; a steady draw: an arrow. */
void
fci_symbol_outlet(struct fci_svg *svg, const struct fci_fixture *fixture,
                  double x, double y)
{
    if (!fixture)
        draw(svg, x, y, "symbol", FCI_INK, "M-8 0H3", "M2-4L8 0L2 4Z");
    else if (fixture->valve[FC_EXISTING] || fixture->valve[FC_RETROFIT])
        draw(svg, x, y, "symbol", FCI_INK, "M-8-5L0 0L-8 5ZM0 0L5 7H-5Z",
             "M2-4H8V-1H2Z");
    else
        draw(svg, x, y, "symbol", FCI_INK, "M-8 0H2A4 4 0 0 1 6 4V6M0 0V-5",
             NULL);
}

void
fci_symbol_mark(struct fci_svg *svg, enum fci_mark mark, double x, double y)
{
    switch (mark) {
    case FCI_MARK_SHORT:
        draw(svg, x, y, "symbol", FCI_ORANGE, NULL, "M0-7L8 7H-8Z");
        fci_svg_open(svg, "g", "stroke", "#fff", "stroke-width", "2", NULL);
        fci_svg_shape(svg, x, y, "M0-2V3M0 4.2V5.8");
        fci_svg_close(svg);
        break;
    case FCI_MARK_DOUBT:
        draw(svg, x, y, "symbol", FCI_BLUE,
             "M0-8L8 0L0 8L-8 0ZM-2-2Q-2-4 0-4Q2-4 2-2Q2-1 0 0V1.4M0 3V4.4",
             NULL);
        break;
    case FCI_MARK_WORKS:
        draw(svg, x, y, "symbol", FCI_FAINT,
             "M-4 0a4 4 0 1 0 8 0a4 4 0 1 0-8 0Z", NULL);
        break;
    default:
        break;
    }
}
