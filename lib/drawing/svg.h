/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/svg.h -- one drawing as it is written: shapes and texts.
 *
 *   [SVG]  Scalable Vector Graphics 1.1, W3C (2011) (from memory)
 *   [XML]  Extensible Markup Language 1.0, W3C, production 2: the characters
 *          that a document may hold (from memory)
 */
#ifndef FCI_DRAWING_SVG_H
#define FCI_DRAWING_SVG_H

#include <libxml/xmlwriter.h>
#include <stdbool.h>
#include <stddef.h>

/* Of all texts, and from one line to the next [px]. */
#define FCI_FONT 12.0
#define FCI_LINE 14.0

/* Dark on white; blue and orange are told apart by all eyes, and as greys. */
#define FCI_INK "#1a1a1a"
#define FCI_FAINT "#767676"
#define FCI_BLUE "#005a9c"
#define FCI_ORANGE "#c04a00"

struct fci_svg {
    xmlTextWriterPtr out;
    bool failed; /* out of memory; nothing more is written */
};

enum fci_anchor { FCI_START, FCI_MIDDLE, FCI_END };

void fci_svg_begin(struct fci_svg *svg, xmlTextWriterPtr out,
                   const char *class, double width, double height);
void fci_svg_title(struct fci_svg *svg, const char *title, const char *desc);
/* False: it has failed. */
bool fci_svg_end(struct fci_svg *svg);

/* An element with attributes: its name, and pairs of strings that end with
 * NULL. */
#define fci_svg_open(svg, ...)                                                \
    fci_svg_open_all(svg, (const char *const[]){ __VA_ARGS__ })
void fci_svg_open_all(struct fci_svg *svg, const char *const *texts);
void fci_svg_close(struct fci_svg *svg);
/* An attribute of the element that was just opened. */
void fci_svg_number(struct fci_svg *svg, const char *name, double px);

void fci_svg_line(struct fci_svg *svg, double x1, double y1, double x2,
                  double y2);
/* A path, its figures counted from x and y. */
void fci_svg_shape(struct fci_svg *svg, double x, double y, const char *d);
/* A text of class "label" on the base line y, shortened to a width; then its
 * <title> has all of it.  Its attributes are those of the group around it. */
void fci_svg_label(struct fci_svg *svg, enum fci_anchor anchor, double x,
                   double y, double width, const char *text);

/* A polyline, point by point. */
void fci_svg_polyline(struct fci_svg *svg, const double (*points)[2],
                      size_t n);

/* A text as by printf(), cut to what it holds. */
struct fci_said {
    char text[400];
};
struct fci_said fci_said(const char *format, ...)
    __attribute__((format(printf, 1, 2)));

/* How wide a text is at most [px]. */
double fci_svg_width(const char *text);
/* A text that is shortened. */
struct fci_short {
    char text[256];
    bool cut;
};
struct fci_short fci_svg_shorten(const char *text, double width);

#endif
