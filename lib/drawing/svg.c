/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/svg.c -- one drawing as it is written; see svg.h. */
#include "drawing/svg.h"
#include "ground/plain_print.h"
#include "ground/characters.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define ELLIPSIS "\xe2\x80\xa6"
#define REPLACEMENT "\xef\xbf\xbd"

/* ---- Characters ------------------------------------------------------- */

/* Widths of the printable ASCII characters from the blank on, in hundredths of
 * the font size: the wider of DejaVu Sans, among the widest of the fonts that
 * readers commonly have, and Liberation Sans, as measured. */
static const unsigned char widths[] = {
    32,  41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34,
    64,  64, 64, 64, 64, 64, 64, 64, 64, 64, 34, 34, 84, 84, 84, 56,
    102, 69, 69, 73, 77, 67, 62, 78, 76, 30, 50, 67, 56, 87, 75, 79,
    67,  79, 73, 67, 62, 74, 69, 99, 69, 67, 69, 40, 34, 40, 84, 56,
    50,  62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98, 64, 62,
    64,  64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84,
};

/* Marks that turn the direction of what follows, or are not seen: a name could
 * hide behind them. */
static bool
is_invisible(long c)
{
    return (c >= 0x200b && c <= 0x200f) || (c >= 0x202a && c <= 0x202e)
           || (c >= 0x2060 && c <= 0x206f) || c == 0x061c || c == 0xfeff;
}

/* The next character of a text as a document may hold it, "" for none, and its
 * width; *text is moved behind it. */
struct character {
    char text[5];
    double width; /* of the font size */
};

static double
width_of(long c)
{
    if (c >= 0x20 && c < 0x7f)
        return widths[c - 0x20] / 100.0;
    if (c >= 0x300 && c < 0x370)
        return 0.3; /* a mark over another, of which a few are enough */
    if (c >= 0x1100)
        return c == 0x2013 || c == 0x2192 ? 0.84 : c >= 0x1f000 ? 1.5 : 1.1;
    return 0.95;
}

static struct character
next(const char **text)
{
    struct character made = { REPLACEMENT, 1.1 };
    size_t size;
    const long c =
        fci_code_point(*text, strlen(*text) < 4 ? strlen(*text) : 4, &size);

    if (c < 0)
        size = 1;
    else if (is_invisible(c))
        made = (struct character){ "", 0 };
    else if (c == '\t' || c == '\n' || c == '\r')
        made = (struct character){ " ", width_of(' ') };
    else if (!fci_is_control(c) && c != 0xfffe && c != 0xffff) {
        memcpy(made.text, *text, size);
        made.text[size] = '\0';
        made.width = width_of(c);
    }
    *text += size;
    return made;
}

double
fci_svg_width(const char *text)
{
    double width = 0;

    while (*text)
        width += next(&text).width;
    return FCI_FONT * width;
}

struct fci_short
fci_svg_shorten(const char *text, double width)
{
    const double dots = FCI_FONT * width_of(0x2026);
    struct fci_short made = { "", false };
    size_t used = 0, kept = 0; /* kept: what still leaves room for the dots */
    double at = 0;

    while (*text) {
        const struct character c = next(&text);

        if (at + dots <= width)
            kept = used;
        at += FCI_FONT * c.width;
        if (at > width
            || used + strlen(c.text) + sizeof ELLIPSIS > sizeof made.text) {
            made.cut = true;
            break;
        }
        memcpy(made.text + used, c.text, strlen(c.text));
        used += strlen(c.text);
    }
    if (made.cut)
        memcpy(made.text + kept, ELLIPSIS, sizeof ELLIPSIS);
    else
        made.text[used] = '\0';
    return made;
}

struct fci_said
fci_said(const char *format, ...)
{
    struct fci_said said;
    va_list args;

    va_start(args, format);
    fci_vprint(said.text, sizeof said.text, format, args);
    va_end(args);
    return said;
}

/* ---- Elements --------------------------------------------------------- */

static void
note(struct fci_svg *svg, int written)
{
    svg->failed |= written < 0;
}

static void
attribute(struct fci_svg *svg, const char *name, const char *value)
{
    if (!svg->failed)
        note(svg, xmlTextWriterWriteAttribute(svg->out, BAD_CAST name,
                                              BAD_CAST value));
}

static void
start(struct fci_svg *svg, const char *element)
{
    if (!svg->failed)
        note(svg, xmlTextWriterStartElement(svg->out, BAD_CAST element));
}

void
fci_svg_close(struct fci_svg *svg)
{
    if (!svg->failed)
        note(svg, xmlTextWriterEndElement(svg->out));
}

void
fci_svg_open_all(struct fci_svg *svg, const char *const *texts)
{
    start(svg, *texts++);
    for (; *texts; texts += 2)
        attribute(svg, texts[0], texts[1]);
}

/* In hundredths, by whole numbers, so that no locale has a say. */
struct px {
    char text[32];
};

static struct px
px(double value)
{
    const long hundredths =
        lround(100 * fmin(fmax(isnan(value) ? 0 : value, -1e6), 1e6));
    const long part = labs(hundredths) % 100;
    struct px made;
    int n = snprintf(made.text, sizeof made.text, "%s%ld.%02ld",
                     hundredths < 0 ? "-" : "", labs(hundredths) / 100, part);

    while (made.text[n - 1] == '0')
        n--;
    if (made.text[n - 1] == '.')
        n--;
    made.text[n] = '\0';
    return made;
}

void
fci_svg_number(struct fci_svg *svg, const char *name, double value)
{
    attribute(svg, name, px(value).text);
}

/* Text of the element, what a document must not hold left out. */
static void
put_string(struct fci_svg *svg, const char *text)
{
    char piece[256];
    size_t used = 0;

    while (*text && !svg->failed) {
        const struct character c = next(&text);

        memcpy(piece + used, c.text, strlen(c.text));
        used += strlen(c.text);
        piece[used] = '\0';
        if (*text && used + 5 < sizeof piece)
            continue;
        note(svg, xmlTextWriterWriteString(svg->out, BAD_CAST piece));
        used = 0;
    }
}

static void
text_element(struct fci_svg *svg, const char *element, const char *text)
{
    start(svg, element);
    put_string(svg, text);
    fci_svg_close(svg);
}

/* ---- The drawing ------------------------------------------------------ */

void
fci_svg_begin(struct fci_svg *svg, xmlTextWriterPtr out, const char *class,
              double width, double height)
{
    char box[80];

    *svg = (struct fci_svg){ .out = out };
    snprintf(box, sizeof box, "0 0 %s %s", px(width).text, px(height).text);
    fci_svg_open(svg, "svg", "xmlns", "http://www.w3.org/2000/svg", "class",
                 class, "role", "img", "viewBox", box, NULL);
    fci_svg_number(svg, "width", width);
    fci_svg_number(svg, "height", height);
    attribute(svg, "font-family", "system-ui, sans-serif");
    fci_svg_number(svg, "font-size", FCI_FONT);
    attribute(svg, "font-weight", "normal");
    attribute(svg, "fill", FCI_INK);
    attribute(svg, "direction", "ltr");
}

void
fci_svg_title(struct fci_svg *svg, const char *title, const char *desc)
{
    text_element(svg, "title", title);
    text_element(svg, "desc", desc);
    fci_svg_open(svg, "rect", "width", "100%", "height", "100%", "fill",
                 "#fff", NULL);
    fci_svg_close(svg);
}

bool
fci_svg_end(struct fci_svg *svg)
{
    fci_svg_close(svg);
    return !svg->failed;
}

/* ---- Shapes and texts ------------------------------------------------- */

void
fci_svg_line(struct fci_svg *svg, double x1, double y1, double x2, double y2)
{
    start(svg, "line");
    fci_svg_number(svg, "x1", x1);
    fci_svg_number(svg, "y1", y1);
    fci_svg_number(svg, "x2", x2);
    fci_svg_number(svg, "y2", y2);
    fci_svg_close(svg);
}

void
fci_svg_shape(struct fci_svg *svg, double x, double y, const char *d)
{
    char move[80];

    snprintf(move, sizeof move, "translate(%s %s)", px(x).text, px(y).text);
    fci_svg_open(svg, "path", "transform", move, "d", d, NULL);
    fci_svg_close(svg);
}

void
fci_svg_label(struct fci_svg *svg, enum fci_anchor anchor, double x, double y,
              double width, const char *text)
{
    const struct fci_short made = fci_svg_shorten(text, width);

    if (!made.text[0])
        return;
    fci_svg_open(svg, "text", "class", "label", "unicode-bidi", "isolate",
                 NULL);
    fci_svg_number(svg, "x", x);
    fci_svg_number(svg, "y", y);
    if (anchor != FCI_START)
        attribute(svg, "text-anchor", anchor == FCI_END ? "end" : "middle");
    put_string(svg, made.text);
    if (made.cut)
        text_element(svg, "title", text);
    fci_svg_close(svg);
}

void
fci_svg_polyline(struct fci_svg *svg, const double (*points)[2], size_t n)
{
    char one[80];
    size_t i;

    start(svg, "polyline");
    if (!svg->failed)
        note(svg, xmlTextWriterStartAttribute(svg->out, BAD_CAST "points"));
    for (i = 0; i < n && !svg->failed; i++) {
        snprintf(one, sizeof one, "%s%s,%s", i > 0 ? " " : "",
                 px(points[i][0]).text, px(points[i][1]).text);
        note(svg, xmlTextWriterWriteString(svg->out, BAD_CAST one));
    }
    if (!svg->failed)
        note(svg, xmlTextWriterEndAttribute(svg->out));
    fci_svg_close(svg);
}
