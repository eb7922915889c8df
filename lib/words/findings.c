/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/words/findings.c -- the list of findings and assumptions. */
#include "words/findings.h"

#include <stdarg.h>
#include <stdlib.h>

void
fci_find(struct fci_findings *f, fc_severity severity, const char *subject,
         int state, const char *about, const char *format, ...)
{
    fc_finding *list = fci_grow(f->list, f->n, &f->room, sizeof *list);
    va_list args;
    char *text;

    va_start(args, format);
    text = fci_arena_vprintf(f->arena, format, args);
    va_end(args);
    if (list)
        f->list = list;
    if (!list || !text) {
        f->out_of_memory = true;
        return;
    }
    list[f->n++] = (fc_finding){
        .severity = severity,
        .subject = subject,
        .in_state = state != FC_STATES && f->converted,
        .state = state == FC_RETROFIT ? FC_RETROFIT : FC_EXISTING,
        .about = about,
        .text = text,
    };
}

void
fci_assume(struct fci_findings *f, const char *format, ...)
{
    const char **list = fci_grow(f->assumptions, f->n_assumptions,
                                 &f->assumptions_room, sizeof *list);
    va_list args;
    char *text;

    va_start(args, format);
    text = fci_arena_vprintf(f->arena, format, args);
    va_end(args);
    if (list)
        f->assumptions = list;
    if (!list || !text)
        f->out_of_memory = true;
    else
        list[f->n_assumptions++] = text;
}

fc_status
fci_findings_take(struct fci_findings *f, struct fci_told *told)
{
    fc_finding *sorted = fci_arena_array(f->arena, f->n, sizeof *sorted);
    const char **assumptions = fci_arena_copy(
        f->arena, f->assumptions, f->n_assumptions * sizeof *assumptions);
    size_t i, n = 0;
    int severity;

    if (f->out_of_memory || !sorted || !assumptions)
        return FC_ENOMEM;
    for (severity = FC_FAIL; severity >= FC_NOTE; severity--)
        for (i = 0; i < f->n; i++)
            if (f->list[i].severity == (fc_severity)severity)
                sorted[n++] = f->list[i];
    told->findings = sorted;
    told->n_findings = n;
    told->assumptions = assumptions;
    told->n_assumptions = f->n_assumptions;
    return FC_OK;
}

void
fci_findings_free(struct fci_findings *f)
{
    free(f->list);
    free(f->assumptions);
}
