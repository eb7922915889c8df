/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/units/figure_refusal.c -- why a figure was not understood. */
#include "units/figure_refusal.h"
#include "ground/characters.h"
#include "units/unit_table.h"

#include <stdio.h>
#include <string.h>

#define QUOTE_ROOM 44 /* bytes of the text that a message repeats */

struct quote {
    char text[QUOTE_ROOM + 8];
};

/* Some of the user's text in quotation marks, `?` for what is not for
 * print. */
static struct quote
quoted(const char *p, const char *end)
{
    struct quote q = { "\"" };
    size_t used = 1, size;

    while (end > p && (end[-1] == ' ' || end[-1] == '\t'))
        end--;
    while (p < end) {
        const long c = fci_code_point(p, (size_t)(end - p), &size);
        const bool bad = fci_is_control(c);
        const size_t n = bad ? 1 : size;

        if (used + n > QUOTE_ROOM)
            break;
        memcpy(q.text + used, bad ? "?" : p, n);
        used += n;
        p += c < 0 ? 1 : size;
    }
    strcpy(q.text + used, p < end ? "...\"" : "\"");
    return q;
}

bool
fci_refuse(const struct fci_wanted *wanted, const char *from, const char *to,
           const char *wrong)
{
    const struct fci_dimension *d = fci_dimension(wanted->dimension);
    const bool missing = from == to;

    if (wanted->why)
        snprintf(wanted->why->text, sizeof wanted->why->text,
                 "%s %s; %s is needed, such as %s%s",
                 missing ? "a figure" : quoted(from, to).text,
                 missing ? "is missing" : wrong, d->name, d->examples,
                 wanted->also);
    return false;
}

bool
fci_refuse_for(const struct fci_wanted *wanted, const char *from,
               const char *to, const char *wrong_and_expected)
{
    if (wanted->why)
        snprintf(wanted->why->text, sizeof wanted->why->text, "%s %s",
                 quoted(from, to).text, wrong_and_expected);
    return false;
}

bool
fci_refuse_rest(const struct fci_wanted *wanted, const char *from,
                const char *to, const char *rest)
{
    char wrong[80];

    snprintf(wrong, sizeof wrong, "is followed by %s",
             quoted(rest, rest + strlen(rest)).text);
    return fci_refuse(wanted, from, to, wrong);
}

/* Names with commas between, as far as there is room. */
struct list {
    char text[96];
    size_t used;
};

static void
list_name(struct list *list, const char *name)
{
    const size_t room = sizeof list->text - list->used;
    const int n = snprintf(list->text + list->used, room, "%s%s",
                           list->used ? ", " : "", name);

    if (n > 0)
        list->used += (size_t)n < room ? (size_t)n : room - 1;
}

bool
fci_refuse_unit(const struct fci_wanted *wanted, const char *from,
                const char *to)
{
    struct list known = { "", 0 };
    size_t i;

    for (i = 0; i < FCI_UNITS; i++)
        if (fci_unit_fits(&fci_units[i], wanted->dimension))
            list_name(&known,
                      i == FCI_NO_UNIT ? "no unit" : fci_units[i].name);
    if (wanted->why)
        snprintf(wanted->why->text, sizeof wanted->why->text,
                 "%s has an unknown unit; %s is needed, in one of: %s%s",
                 quoted(from, to).text, fci_dimension_name(wanted->dimension),
                 known.text, wanted->also);
    return false;
}

bool
fci_refuse_dn(const struct fci_wanted *wanted, const char *from,
              const char *to)
{
    struct list known = { "", 0 };
    char dn[16];
    size_t i;

    for (i = 0; i < FCI_DN_SIZES; i++) {
        snprintf(dn, sizeof dn, "%d", fci_dn_sizes[i].dn);
        list_name(&known, dn);
    }
    if (wanted->why)
        snprintf(wanted->why->text, sizeof wanted->why->text,
                 "%s is not a known DN; one of these is needed: %s",
                 quoted(from, to).text, known.text);
    return false;
}
