/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/pen.c -- lines of a site file while it is written. */
#include "starter/pen.h"
#include "ground/plain_print.h"

#include <stdarg.h>
#include <string.h>

#define REMARK_COLUMN 34

static void
put_remark(const struct fci_pen *pen, int column, const char *remark)
{
    if (remark)
        fprintf(pen->out, "%*s; %s",
                column < REMARK_COLUMN ? REMARK_COLUMN - column : 1, "",
                remark);
    fputc('\n', pen->out);
}

void
fci_pen_section(const struct fci_pen *pen, const char *kind, const char *name,
                const char *remark)
{
    const int column =
        fprintf(pen->out, "\n[%s%s%s]", kind, *name ? " " : "", name) - 1;

    put_remark(pen, column, remark);
}

void
fci_pen_line(const struct fci_pen *pen, const char *key, const char *remark,
             const char *format, ...)
{
    int column = fprintf(pen->out, "%s = ", key);
    va_list args;

    va_start(args, format);
    column += fci_vprint_to(pen->out, format, args);
    va_end(args);
    put_remark(pen, column, remark);
}

/* As many digits as the file needs, without zeros at the end. */
static struct fci_shown
digits_of(fc_unit_system system, fc_dimension dimension, double si)
{
    struct fci_shown shown;
    size_t n;

    fc_show_number(FC_NEAREST, dimension == FC_LENGTH ? 2 : 0,
                   fc_from_si(system, dimension, si), shown.text,
                   sizeof shown.text);
    n = strlen(shown.text);
    while (strchr(shown.text, '.') && strchr("0.", shown.text[n - 1])) {
        const bool point = shown.text[n - 1] == '.';

        shown.text[--n] = '\0';
        if (point)
            break;
    }
    return shown;
}

struct fci_shown
fci_pen_digits(const struct fci_pen *pen, fc_dimension dimension,
               fc_range value)
{
    const fc_unit_system system = pen->a->units;
    const struct fci_shown low = digits_of(system, dimension, value.low);
    const struct fci_shown high = digits_of(system, dimension, value.high);
    const char *unit = fc_unit_name(system, dimension);
    struct fci_shown shown;

    if (strcmp(low.text, high.text) == 0)
        snprintf(shown.text, sizeof shown.text, "%.20s %s", low.text, unit);
    else
        snprintf(shown.text, sizeof shown.text, "%.15s..%.15s %s", low.text,
                 high.text, unit);
    return shown;
}

void
fci_pen_range(const struct fci_pen *pen, const char *key, const char *remark,
              fc_dimension dimension, fc_range value)
{
    fci_pen_line(pen, key, remark, "%s",
                 fci_pen_digits(pen, dimension, value).text);
}

void
fci_pen_answer(const struct fci_pen *pen, const char *key,
               enum fci_answer answer, enum fci_usual_name usual,
               const char *remark)
{
    const struct fci_usual *range = fci_tables_usual(pen->tables, usual);

    if (pen->a->text[answer])
        fci_pen_line(pen, key, NULL, "%s", pen->a->text[answer]);
    else
        fci_pen_range(pen, key, remark, range->dimension, range->range);
}

static void
put_size(const struct fci_pen *pen, enum fci_answer answer,
         const struct fci_starter_size *found)
{
    const fc_unit_system system = pen->a->units;
    char remark[120];

    if (pen->a->text[answer]) {
        fci_pen_line(pen, "size", NULL, "%s", pen->a->text[answer]);
        return;
    }
    if (!pen->sizes) {
        fci_pen_line(pen, "size", NULL, "choose");
        return;
    }
    snprintf(remark, sizeof remark, ASSUMED ": %s at %s",
             fci_show(system, FC_VELOCITY, found->velocity).text,
             fci_show(system, FC_FLOW, found->flow).text);
    if (found->next)
        fci_pen_line(pen, "size", remark, "%s .. %s", found->size->label,
                     found->next->label);
    else
        fci_pen_line(pen, "size", remark, "%s", found->size->label);
}

void
fci_pen_size(const struct fci_pen *pen, enum fci_answer answer,
             const struct fci_starter_size *found)
{
    const fc_range c = fci_pen_usual(pen, FCI_USUAL_C);

    put_size(pen, answer, found);
    if (!pen->a->material_name)
        fci_pen_line(pen, "c", ASSUMED ": any material", "%.0f..%.0f", c.low,
                     c.high);
}

void
fci_pen_element(struct fci_pen *pen, const char *kind, const char *name,
                const char *remark)
{
    fci_pen_section(pen, kind, name, remark);
    fci_pen_line(pen, "from", NULL, "%s", pen->feed);
    snprintf(pen->feed, sizeof pen->feed, "%s", name);
}

fc_range
fci_pen_usual(const struct fci_pen *pen, enum fci_usual_name usual)
{
    return fci_tables_usual(pen->tables, usual)->range;
}

fc_range
fci_range_plus(fc_range a, double k, fc_range b)
{
    return fc_between(a.low + (k < 0 ? k * b.high : k * b.low),
                      a.high + (k < 0 ? k * b.low : k * b.high));
}
