/* SPDX-License-Identifier: GPL-3.0-or-later */
/* cli/commands/tables.c -- `flushcalc tables [NAME]`: the trade's numbers. */
#include "commands/command.h"
#include "shell/nearest.h"
#include "shell/complain.h"
#include "shell/output.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* The words of NAME as one, to be freed; "" when there are none. */
static char *
joined(const struct options *options)
{
    size_t size = 1;
    char *name;

    for (size_t i = 0; i < options->n_operands; i++)
        size += strlen(options->operands[i]) + 1;
    name = malloc(size);
    if (!name)
        return NULL;
    name[0] = '\0';
    for (size_t i = 0; i < options->n_operands; i++) {
        if (i > 0)
            strcat(name, " ");
        strcat(name, options->operands[i]);
    }
    return name;
}

/* "fixtures", and "fixtures ipc", become the kind "fixture", of which there
 * are several. */
static void
take_plural(const fc_tables *tables, char *name)
{
    const size_t n = strcspn(name, " ");
    bool is_kind = false, is_plural = false;

    for (size_t i = 0; n > 1 && i < fc_tables_count(tables); i++) {
        const char *kind = fc_tables_at(tables, i).kind;

        is_kind |= strlen(kind) == n && strncasecmp(kind, name, n) == 0;
        is_plural |= strlen(kind) == n - 1
                     && tolower((unsigned char)name[n - 1]) == 's'
                     && strncasecmp(kind, name, n - 1) == 0;
    }
    if (is_plural && !is_kind)
        memmove(name + n - 1, name + n, strlen(name + n) + 1);
}

/* Whether NAME is the entry's kind, its name, or both. */
static bool
is_meant(const fc_table_entry *entry, const char *name)
{
    size_t kind = strlen(entry->kind);

    return !*name || strcasecmp(name, entry->kind) == 0
           || strcasecmp(name, entry->name) == 0
           || (strncasecmp(name, entry->kind, kind) == 0 && name[kind] == ' '
               && strcasecmp(name + kind + 1, entry->name) == 0);
}

static void
complain_unknown(const fc_tables *tables, const char *name)
{
    struct nearest nearest = { name, NULL, 0 };
    const char *kind = "";
    char kinds[256] = "";

    for (size_t i = 0; i < fc_tables_count(tables); i++) {
        fc_table_entry entry = fc_tables_at(tables, i);
        size_t used = strlen(kinds);

        nearest_try(&nearest, entry.kind);
        nearest_try(&nearest, entry.name);
        if (strcmp(kind, entry.kind) != 0)
            snprintf(kinds + used, sizeof kinds - used, "%s%s",
                     used ? ", " : "", entry.kind);
        kind = entry.kind;
    }
    if (nearest.best)
        complain("no table is called \"%s\"; did you mean \"%s\"? \"flushcalc "
                 "tables\" lists all",
                 name, nearest.best);
    else
        complain("no table is called \"%s\"; the kinds are %s; \"flushcalc "
                 "tables\" lists all",
                 name, kinds);
}

/* The entries that are meant, to be freed; NULL, and said, when out of
 * memory or when there are none. */
static fc_table_entry *
choose(const fc_tables *tables, const char *name, size_t *n)
{
    size_t count = fc_tables_count(tables);
    fc_table_entry *entries = calloc(count + 1, sizeof *entries);

    *n = 0;
    if (!entries) {
        complain_memory();
        return NULL;
    }
    for (size_t i = 0; i < count; i++) {
        fc_table_entry entry = fc_tables_at(tables, i);

        if (is_meant(&entry, name))
            entries[(*n)++] = entry;
    }
    if (*n > 0)
        return entries;
    complain_unknown(tables, name);
    free(entries);
    return NULL;
}

static bool
report(const struct options *options, const fc_table_entry *entries, size_t n,
       bool in_full)
{
    fc_report *report = NULL;
    const fc_status status = fc_report_tables(entries, n, !in_full, &report);

    return output_report(options, NULL, report, status);
}

static int
run(const struct options *options)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    fc_tables *tables = messages ? fc_tables_new(messages) : NULL;
    char *name = joined(options);
    fc_table_entry *entries = NULL;
    int status = STATUS_TROUBLE;
    size_t n;

    if (!tables || !name) {
        complain_messages(
            messages, fc_diagnostics_count(messages) > 0 ? FC_EIO : FC_ENOMEM);
    } else {
        take_plural(tables, name);
        entries = choose(tables, name, &n);
        if (entries && report(options, entries, n, *name != '\0'))
            status = STATUS_WORKS;
    }
    free(entries);
    free(name);
    fc_tables_free(tables);
    fc_diagnostics_free(messages);
    return status;
}

/* The kinds of tables; an entry's name is often several words. */
static void
offer(const char *const *operands, size_t n, const struct completion *to)
{
    fc_tables *tables = n == 0 ? fc_tables_new(NULL) : NULL;
    const char *kind = "";

    (void)operands;
    for (size_t i = 0; tables && i < fc_tables_count(tables); i++) {
        const fc_table_entry entry = fc_tables_at(tables, i);

        if (strcmp(entry.kind, kind) != 0)
            complete_offer(to, entry.kind);
        kind = entry.kind;
    }
    fc_tables_free(tables);
}

const struct command command_tables = {
    .name = "tables",
    .operands = "[NAME]",
    .summary = "The built-in numbers with their sources.",
    .about =
        "Without NAME the kinds of table. NAME is a kind (pipe), which "
        "lists its entries\n"
        "with their sources, or an entry (copper L), or both (pipe copper "
        "L), which gives\n"
        "it in full. With --full every entry of all kinds is listed, or "
        "each of a kind\n"
        "given in full.\n",
    .options = OPTION_REPORT,
    .least = 0,
    .most = ANY_NUMBER,
    .offer = offer,
    .run = run,
};
