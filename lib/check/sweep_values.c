/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/check/sweep_values.c -- the values that a sweep goes through.
 *
 * What a value is, is left to the reader of site files: here it is a number
 * and the unit behind it.  A size is looked up by setting both ends over the
 * file and asking which rows of the table the pipe has then.
 */
#include "check/sweep_values.h"
#include "ground/diagnostics.h"
#include "site/reader.h"
#include "units/units.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define DEFAULT_STEPS 10
#define MOST_STEPS 1000
/* The last digit shown is worth no more than this part of the whole way. */
#define FINENESS 200
#define MOST_DECIMALS 6
#define MOST_FIGURE 1e9

#define EXPECTED "NAME.KEY=FROM..TO or NAME.KEY=FROM..TO/STEPS is expected"

static char *
trimmed(struct fci_arena *arena, const char *text, size_t n)
{
    while (n > 0 && (text[0] == ' ' || text[0] == '\t')) {
        text++;
        n--;
    }
    while (n > 0 && (text[n - 1] == ' ' || text[n - 1] == '\t'))
        n--;
    return fci_arena_substring(arena, text, n);
}

/* "/10" at the end; a unit such as gal/min has none. */
static bool
take_steps(char *text, size_t *steps)
{
    char *slash = strrchr(text, '/');
    const char *digits = slash ? slash + 1 : "";
    unsigned long n = 0;

    *steps = DEFAULT_STEPS;
    while (*digits == ' ')
        digits++;
    if (!*digits || digits[strspn(digits, "0123456789")] != '\0')
        return true;
    n = strlen(digits) > 4 ? 0 : strtoul(digits, NULL, 10);
    *steps = n;
    *slash = '\0';
    return n >= 1 && n <= MOST_STEPS;
}

/* ---- Sizes ------------------------------------------------------------ */

static bool
is_size(const char *input)
{
    const char *dot = strrchr(input, '.');

    return dot && strcmp(dot, ".size") == 0;
}

/* A name with {floor} is that of the floors of a typical one. */
static bool
is_named(const struct fci_element *element, const char *name,
         struct fci_arena *arena)
{
    const struct fci_section *section = element->part->section;
    const char *here = name;

    if (strchr(name, '{')
        && (!section || !section->typical
            || fci_floors_text(name, section->floor, arena, &here) != FC_OK))
        return false;
    return fci_same_name(here, element->name);
}

static const struct fci_pipe *
pipe_of(const fc_site *site, const char *input, struct fci_arena *arena)
{
    const char *name =
        trimmed(arena, input, (size_t)(strrchr(input, '.') - input));
    size_t i;

    if (name && strncmp(name, "pipe ", 5) == 0)
        name += 5;
    for (i = 0; name && i < site->n_elements; i++)
        if (site->elements[i].pipe
            && is_named(&site->elements[i], name, arena))
            return site->elements[i].pipe;
    return NULL;
}

/* The site with a value; what is wrong with that is said of the sweep. */
static fc_status
site_with(const struct fci_sweep_values *v, const fc_site *site,
          const char *value, struct fci_arena *arena, fc_site **changed,
          fc_diagnostics *messages)
{
    const char *set = fci_arena_printf(arena, "%s=%s", v->input, value);
    fc_diagnostics *said = fc_diagnostics_new();
    fc_status status = FC_ENOMEM;

    if (set && said)
        status = fc_site_with(site, &set, 1, changed, said);
    if (status != FC_OK && status != FC_ENOMEM
        && fc_diagnostics_count(said) > 0)
        status = fci_fail(messages, status, NULL, 0, "--sweep %s: %s", set,
                          fc_diagnostics_at(said, 0).text);
    fc_diagnostics_free(said);
    return status;
}

/* The row of the material's table that a value is. */
static fc_status
find_row(struct fci_sweep_values *v, const fc_site *site, const char *value,
         struct fci_arena *arena, long *row, fc_diagnostics *messages)
{
    const struct fci_pipe *pipe;
    fc_site *changed = NULL;
    fc_status status = site_with(v, site, value, arena, &changed, messages);

    if (status != FC_OK)
        return status;
    pipe = pipe_of(changed, v->input, arena);
    if (pipe && pipe->material && pipe->size) {
        *row = pipe->size - pipe->material->sizes;
        v->material =
            fci_tables_material(site->tables, pipe->material->head.name);
    }
    fc_site_free(changed);
    return v->material ? FC_OK
                       : fci_fail(messages, FC_EINPUT, NULL, 0,
                                  "--sweep %s: a size is swept of a pipe "
                                  "with a material",
                                  v->input);
}

static fc_status
read_sizes(struct fci_sweep_values *v, const fc_site *site, const char *from,
           const char *to, struct fci_arena *arena, fc_diagnostics *messages)
{
    fc_status status = find_row(v, site, from, arena, &v->from, messages);

    if (status == FC_OK)
        status = find_row(v, site, to, arena, &v->to, messages);
    if (status == FC_OK && v->from == v->to)
        status = fci_fail(messages, FC_EINPUT, NULL, 0,
                          "--sweep %s: two sizes are expected", v->input);
    v->unit = "";
    v->steps = (size_t)labs(v->to - v->from);
    return status;
}

/* ---- Figures ---------------------------------------------------------- */

/* A number and what stands behind it. */
static bool
take_figure(const char *text, double *value, int *decimals, const char **unit)
{
    const char *at = text, *point;

    if (!fci_read_number(&at, value) || fabs(*value) > MOST_FIGURE)
        return false;
    point = memchr(text, '.', (size_t)(at - text));
    *decimals = point ? (int)(at - point - 1) : 0;
    while (*at == ' ')
        at++;
    *unit = at;
    return *decimals <= MOST_DECIMALS;
}

/* A count takes no decimals, as its reader says. */
static bool
is_whole(const struct fci_sweep_values *v, const fc_site *site, double between,
         struct fci_arena *arena)
{
    const char *set = fci_arena_printf(arena, "%s=%.1f", v->input, between);
    fc_site *changed = NULL;
    const bool refused =
        set && fc_site_with(site, &set, 1, &changed, NULL) == FC_EINPUT;

    fc_site_free(changed);
    return refused;
}

static fc_status
read_figures(struct fci_sweep_values *v, const fc_site *site, const char *from,
             const char *to, struct fci_arena *arena, fc_diagnostics *messages)
{
    const char *unit, *first_unit;
    double low, high, ten;
    int decimals, others;

    if (!take_figure(from, &low, &decimals, &first_unit)
        || !take_figure(to, &high, &others, &unit)
        || (*first_unit && strcmp(first_unit, unit) != 0) || strstr(unit, "..")
        || low == high)
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "--sweep %s=%s..%s: two figures in one unit are "
                        "expected, such as 60..80 psi",
                        v->input, from, to);
    v->unit = unit;
    v->decimals = decimals > others ? decimals : others;
    if (*unit || v->decimals > 0
        || !is_whole(v, site, fmin(low, high) + 0.5, arena))
        while (pow(10, -v->decimals) > fabs(high - low) / FINENESS
               && v->decimals < MOST_DECIMALS)
            v->decimals++;
    ten = pow(10, v->decimals);
    v->from = lround(low * ten);
    v->to = lround(high * ten);
    return arena->failed ? FC_ENOMEM : FC_OK;
}

/* ---- The whole -------------------------------------------------------- */

/* What the file has for it, as a report of what is set tells it. */
static fc_status
find_was(struct fci_sweep_values *v, const fc_site *site, const char *value,
         struct fci_arena *arena, fc_diagnostics *messages)
{
    const char *set = fci_arena_printf(arena, "%s=%s", v->input, value);
    fc_site *changed = NULL;
    fc_status status =
        set ? fc_site_with(site, &set, 1, &changed, messages) : FC_ENOMEM;
    size_t n = status == FC_OK ? changed->n_set : 0;

    while (n > 0 && changed->set[n - 1].implied)
        n--;
    if (n > 0) {
        const fc_set_value last = fc_site_set_value_at(changed, n - 1);

        if (last.was && !last.differs)
            v->was = fci_arena_string(arena, last.was);
    }
    fc_site_free(changed);
    if (status == FC_EINPUT)
        status = FC_OK; /* each step says it of itself */
    return arena->failed ? FC_ENOMEM : status;
}

fc_status
fci_sweep_values_read(struct fci_sweep_values *v, const fc_site *site,
                      const char *what, struct fci_arena *arena,
                      fc_diagnostics *messages)
{
    const char *equals = strchr(what, '=');
    char *value =
        equals ? trimmed(arena, equals + 1, strlen(equals + 1)) : NULL;
    char *dots = value ? strstr(value, "..") : NULL;
    const char *from, *to;
    fc_status status;

    if (equals && !value)
        return FC_ENOMEM;
    if (!dots || !memchr(what, '.', (size_t)(equals - what)))
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "--sweep \"%.80s\" is no sweep; " EXPECTED, what);
    v->input = trimmed(arena, what, (size_t)(equals - what));
    if (!take_steps(dots + 2, &v->steps))
        return fci_fail(messages, FC_EINPUT, NULL, 0,
                        "--sweep \"%.80s\": 1 to %d steps are expected", what,
                        MOST_STEPS);
    from = trimmed(arena, value, (size_t)(dots - value));
    to = trimmed(arena, dots + 2, strlen(dots + 2));
    if (arena->failed)
        return FC_ENOMEM;
    status = is_size(v->input)
                 ? read_sizes(v, site, from, to, arena, messages)
                 : read_figures(v, site, from, to, arena, messages);
    if (status != FC_OK)
        return status;
    return find_was(v, site, fci_sweep_value(v, v->from, arena), arena, NULL);
}

long
fci_sweep_place(const struct fci_sweep_values *v, size_t step)
{
    const double part = (double)step / (double)v->steps;

    return v->from + lround((double)(v->to - v->from) * part);
}

double
fci_sweep_figure(const struct fci_sweep_values *v, long place)
{
    return v->material ? (double)place : (double)place / pow(10, v->decimals);
}

const char *
fci_sweep_value(const struct fci_sweep_values *v, long place,
                struct fci_arena *arena)
{
    char digits[40];

    if (v->material)
        return fci_arena_string(arena, v->material->sizes[place].label);
    fc_show_number(FC_NEAREST, v->decimals, fci_sweep_figure(v, place), digits,
                   sizeof digits);
    return fci_arena_printf(arena, "%s%s%s", digits, *v->unit ? " " : "",
                            v->unit);
}
