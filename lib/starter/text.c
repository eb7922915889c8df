/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/starter/text.c -- the site file of a building from the answers.
 *
 * What nobody gave is a range of what is usual, or says "assumed" beside it
 * and in the title, so that no verdict on it is taken for one on a building.
 */
#include "ground/text_stream.h"
#include "starter/pen.h"

#include <string.h>

/* ---- The head ---------------------------------------------------------- */

/* What the title tells of as assumed, a comma before all but the first. */
static void
add_assumed(const struct fci_pen *pen, int *n, bool assumed, const char *what)
{
    if (assumed)
        fprintf(pen->out, "%s%s", (*n)++ == 0 ? "" : ", ", what);
}

static void
put_assumed(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;
    const char *const *text = a->text;
    int n = 0;

    fprintf(pen->out, " (assumed: ");
    add_assumed(pen, &n, true, "lengths");
    add_assumed(pen, &n,
                !text[FCI_ASK_RISER] || !text[FCI_ASK_BRANCH]
                    || (!a->tank.given && !a->pressure.given
                        && !text[FCI_ASK_SERVICE]),
                "pipe sizes");
    add_assumed(pen, &n, !a->material_name, "material");
    add_assumed(pen, &n, !a->floor.given, "story height");
    add_assumed(pen, &n, !a->closets.given || a->batteries > 1,
                "fixture counts");
    add_assumed(pen, &n,
                !a->main.given && !a->tank.given && !a->pressure.given,
                "main");
    add_assumed(pen, &n, a->meter_size.given && !a->meter_kind_given,
                "kind of meter");
    add_assumed(pen, &n, a->booster != NULL, "booster curve");
    add_assumed(pen, &n, !a->urinals.given, "no urinals");
    add_assumed(pen, &n, !a->lavatories.given, "no lavatories");
    fprintf(pen->out, ")");
}

static void
put_title(const struct fci_pen *pen)
{
    const char *title = pen->a->title;
    const bool quotes = title && strpbrk(title, ";#") != NULL;

    fprintf(pen->out, "title = %s", quotes ? "\"" : "");
    if (title)
        fprintf(pen->out, "%s", title);
    else
        fprintf(pen->out, "Building of %d %s", pen->a->stories,
                pen->a->stories == 1 ? "story" : "stories");
    put_assumed(pen);
    fprintf(pen->out, "%s\n", quotes ? "\"" : "");
}

static void
put_head(const struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;

    fprintf(pen->out,
            "; A starter from flushcalc new: a range (..) is what is usual, "
            "and what nobody\n"
            "; gave says \"" ASSUMED "\". Replace what says " ASSUMED
            " by what is there; the title\n"
            "; lists what is assumed: shorten it as you go. No fittings are "
            "listed, so 20 to\n"
            "; 75%% of each pipe's length is added for them.\n"
            "[site]\n");
    put_title(pen);
    fci_pen_line(pen, "code", a->text[FCI_ASK_CODE] ? NULL : ASSUMED, "%s",
                 a->code == FC_UPC ? "upc" : "ipc");
    fci_pen_line(pen, "material", a->material_name ? NULL : ASSUMED, "%s",
                 a->material->head.name);
    if (a->units == FC_SI)
        fci_pen_line(pen, "units", NULL, "si");
}

/* ---- All of it --------------------------------------------------------- */

static void
put_all(struct fci_pen *pen)
{
    const struct fci_answers *a = pen->a;

    put_head(pen);
    fci_write_supply(pen);
    fci_write_risers(pen);
    fci_write_rooms(pen);
    fprintf(pen->out,
            "\n; Not in here: %s%sother fixtures, and the water\n"
            "; heater ([heater]).\n",
            a->urinals.given ? "" : "urinals, ",
            a->lavatories.given ? "" : "lavatories, ");
}

fc_status
fci_starter_write(const struct fci_answers *a, const struct fci_tables *tables,
                  const struct fci_starter_sizes *sizes, char **text)
{
    size_t size;
    FILE *out = fci_text_stream(text, &size);
    struct fci_pen pen = { out, a, tables, sizes, "" };

    if (!out)
        return FC_ENOMEM;
    put_all(&pen);
    return fclose(out) == 0 ? FC_OK : FC_ENOMEM;
}
