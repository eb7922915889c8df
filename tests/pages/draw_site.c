/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/pages/draw_site.c -- `draw_site SITE...`: the drawings of each site in
 * one page on standard output, for a browser to look at.  Files that are no
 * site are passed by, but not all of them. */
#include "drawing/drawings.h"

#include <libxml/xmlwriter.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#define HEAD                                                                  \
    "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"       \
    "<meta name=\"viewport\" content=\"width=device-width\">"                 \
    "<title>drawings</title><style>body{margin:8px;font-family:sans-serif}"   \
    "div{overflow-x:auto}svg{display:block}"                                  \
    "@media print{svg{max-width:100%;height:auto}}</style></head><body>\n"

static bool
draw(xmlTextWriterPtr out, const fc_site *site)
{
    const fc_check_options quick = { .no_busy_period = true,
                                     .no_proviso = true };
    fc_path *paths[FC_STATES] = { NULL };
    fc_check_result *result = NULL;
    bool done;
    int i;

    if (fc_check_with(site, &quick, &result, NULL) != FC_OK)
        result = NULL;
    done = fci_draw_riser(out, site, result, NULL);
    done &= fci_draw_supply(out, site, result);
    for (i = 0; result && i <= (result->converted ? FC_RETROFIT : 0); i++) {
        const size_t at = result->states[result->converted].governing;

        if (at != SIZE_MAX)
            fc_path_find(site, result->fixtures[at].name, (fc_state)i,
                         &paths[i], NULL);
    }
    if (paths[0])
        done &=
            fci_draw_profile(out, site, result, (const fc_path *const *)paths);
    for (i = 0; i < FC_STATES; i++)
        fc_path_free(paths[i]);
    fc_check_result_free(result);
    return done;
}

int
main(int argc, char **argv)
{
    xmlBufferPtr text = xmlBufferCreate();
    xmlTextWriterPtr out = text ? xmlNewTextWriterMemory(text, 0) : NULL;
    bool done = out != NULL;
    int i, n = 0;

    fputs(HEAD, stdout);
    for (i = 1; i < argc && done; i++) {
        fc_site *site = NULL;

        if (fc_site_read(argv[i], &site, NULL) != FC_OK)
            continue;
        n++;
        done = xmlTextWriterStartElement(out, BAD_CAST "div") >= 0
               && draw(out, site) && xmlTextWriterEndElement(out) >= 0;
        fc_site_free(site);
    }
    done &= xmlTextWriterFlush(out) >= 0;
    xmlFreeTextWriter(out);
    fputs((const char *)xmlBufferContent(text), stdout);
    fputs("</body></html>\n", stdout);
    xmlBufferFree(text);
    return done && n > 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
