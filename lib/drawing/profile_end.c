/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/drawing/profile_end.c -- what the pressure profile tells beside the end
 * of the path, and its key. */
#include "drawing/profile.h"
#include "units/units.h"

#include <stdlib.h>
#include <string.h>

/* What is told beside the end of the path. */
struct remark {
    double at, y; /* where it belongs, and where it stands */
    const char *color;
    struct fci_said said;
};

/* No more firmly than the verdict is. */
static const char *
outcome(const fc_fixture_state *end)
{
    if (end->works == FC_CANNOT_TELL)
        return ", cannot tell";
    if (end->works == FC_WORKS)
        return "";
    return end->margin.given && end->margin.nominal < 0 ? ", short"
                                                        : ", does not work";
}

struct fci_said
fci_profile_tell(const struct fci_profile *p, fc_state state)
{
    const fc_fixture_state *end = &p->paths[state]->end;

    return fci_said("%s %s%s",
                    p->paths[FC_RETROFIT] ? fci_profile_looks[state].word
                                          : "residual",
                    fci_show(p->units, FC_PRESSURE, end->flowing.nominal).text,
                    outcome(end));
}

static int
by_place(const void *a, const void *b)
{
    const struct remark *x = a, *y = b;

    return (x->at > y->at) - (x->at < y->at);
}

/* Apart from each other, and as near to where they belong as that allows. */
static void
spread(const struct fci_profile *p, struct remark *remarks, size_t n)
{
    double least = p->top + 8;
    size_t i;

    qsort(remarks, n, sizeof *remarks, by_place);
    for (i = 0; i < n; i++) {
        remarks[i].y = fmax(remarks[i].at + 4, least);
        least = remarks[i].y + FCI_PROFILE_ROW;
    }
    for (i = n, least = p->bottom; i-- > 0;
         least = remarks[i].y - FCI_PROFILE_ROW)
        remarks[i].y = fmin(remarks[i].y, least);
}

static size_t
gather(const struct fci_profile *p, struct remark *remarks)
{
    const struct fci_grade_point *points = p->points[p->judged->state];
    const bool same = p->paths[FC_EXISTING] && p->paths[FC_RETROFIT]
                      && fci_profile_required(p->paths[FC_EXISTING])
                             == fci_profile_required(p->paths[FC_RETROFIT]);
    size_t n = 0;
    int s;

    for (s = 0; s < FC_STATES; s++) {
        const double required =
            p->paths[s] ? fci_profile_required(p->paths[s]) : NAN;

        if (!p->paths[s])
            continue;
        remarks[n].color = fci_profile_looks[s].color;
        remarks[n].at = fci_profile_up(p, p->points[s][p->n - 1].grade);
        remarks[n].said = fci_profile_tell(p, (fc_state)s);
        n++;
        if (isnan(required) || (same && s == FC_EXISTING))
            continue;
        remarks[n].color = same ? FCI_INK : fci_profile_looks[s].color;
        remarks[n].at =
            fci_profile_up(p, points[p->n - 1].elevation + required);
        remarks[n].said = fci_said(
            "required %s%s", fci_show(p->units, FC_PRESSURE, required).text,
            p->paths[FC_RETROFIT] && s == FC_EXISTING ? ", existing" : "");
        n++;
    }
    remarks[n].color = "#6a6a6a";
    remarks[n].at = fci_profile_up(p, points[p->n - 1].elevation);
    remarks[n].said =
        fci_said("elevation %s",
                 fci_show(p->units, FC_LENGTH,
                          points[p->n - 1].elevation / p->site->water_weight)
                     .text);
    return n + 1;
}

/* A required pressure is a bar over the end; what is there, a dot. */
void
fci_profile_end(struct fci_svg *svg, const struct fci_profile *p)
{
    struct remark remarks[2 * FC_STATES + 1] = { { 0 } };
    const size_t n = gather(p, remarks);
    size_t i;

    spread(p, remarks, n);
    for (i = 0; i < n; i++) {
        const bool bar = strncmp(remarks[i].said.text, "required", 8) == 0;

        fci_svg_open(svg, "g", "stroke", remarks[i].color, "fill",
                     remarks[i].color, "stroke-width", bar ? "3" : "1", NULL);
        if (bar)
            fci_svg_line(svg, FCI_PROFILE_RIGHT - 14, remarks[i].at,
                         FCI_PROFILE_RIGHT + 4, remarks[i].at);
        fci_svg_close(svg);
        fci_svg_open(svg, "g", "stroke", FCI_FAINT, NULL);
        fci_svg_line(svg, FCI_PROFILE_RIGHT + 4, remarks[i].at,
                     FCI_PROFILE_RIGHT + 14, remarks[i].y - 4);
        fci_svg_close(svg);
        fci_svg_open(svg, "g", "fill", remarks[i].color, NULL);
        fci_svg_label(svg, FCI_START, FCI_PROFILE_RIGHT + 18, remarks[i].y,
                      FCI_PROFILE_MARGIN, remarks[i].said.text);
        fci_svg_close(svg);
    }
}

void
fci_profile_key(struct fci_svg *svg, const struct fci_profile *p)
{
    double x = FCI_PROFILE_LEFT;
    const double y = p->bottom + 58;
    int s;

    for (s = 0; s < FC_STATES; s++) {
        if (!p->paths[s])
            continue;
        fci_svg_open(svg, "g", "class", "symbol", "stroke",
                     fci_profile_looks[s].color, "stroke-width",
                     fci_profile_looks[s].width, "stroke-dasharray",
                     fci_profile_looks[s].dash, NULL);
        fci_svg_line(svg, x, y - 4, x + 28, y - 4);
        fci_svg_close(svg);
        fci_svg_label(svg, FCI_START, x + 34, y, 160,
                      p->judged->state == FC_EXISTING
                          ? "hydraulic grade"
                          : fci_profile_looks[s].word);
        x += 160;
    }
    fci_svg_open(svg, "g", "class", "symbol", "fill", "#e9e9e9", "stroke",
                 "#8a8a8a", NULL);
    fci_svg_shape(svg, x, y - 8, "M0 0H28V10H0Z");
    fci_svg_close(svg);
    fci_svg_label(svg, FCI_START, x + 34, y, 220, "elevation of the pipe");
}
