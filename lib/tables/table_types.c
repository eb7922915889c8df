/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_types.c -- sections of tables become entries that refer to
 * each other. */
#include "ground/diagnostics.h"
#include "tables/table_entries.h"

#include <string.h>

/* ---- Typing ----------------------------------------------------------- */

/* Whether n letters are this word, in any case. */
static bool
is_word(const char *text, size_t n, const char *word)
{
    char copy[8];

    if (n >= sizeof copy)
        return false;
    memcpy(copy, text, n);
    copy[n] = '\0';
    return fci_same_name(copy, word);
}

/* The letters of the first word of a kind: "fixture ipc" is two. */
static size_t
first_word(enum fci_table kind)
{
    return strcspn(fci_table_kinds[kind].word, " ");
}

bool
fci_is_table_word(const char *word)
{
    for (int kind = 0; kind < FCI_TABLES; kind++) {
        const size_t n = first_word((enum fci_table)kind);

        if (strlen(word) == n
            && strncmp(word, fci_table_kinds[kind].word, n) == 0)
            return true;
    }
    return false;
}

/* The kind of a section and where the name of its entry starts: FCI_TABLES
 * when there is no such kind. */
static enum fci_table
kind_of(const struct fci_section *section, const char **name)
{
    size_t kind, n;

    for (kind = 0; kind < FCI_TABLES; kind++) {
        const char *word = fci_table_kinds[kind].word;
        const char *code = strchr(word, ' ');

        n = first_word((enum fci_table)kind);
        if (strlen(section->kind) != n || strncmp(section->kind, word, n) != 0)
            continue;
        *name = section->name;
        if (!code)
            break;
        n = strcspn(section->name, " ");
        if (is_word(section->name, n, code + 1)) {
            *name += n + (section->name[n] == ' ');
            break;
        }
    }
    return (enum fci_table)kind;
}

static void
wrong_kind(struct fci_table_reader *r)
{
    const struct fci_section *section = &r->part->section;
    struct fci_nearest nearest = fci_nearest_to(section->kind);
    size_t kind;

    if (strcmp(section->kind, "fixture") == 0) {
        fci_table_wrong(r, NULL,
                        "names no code; [fixture ipc %.40s] or [fixture upc "
                        "%.40s] is expected",
                        section->name, section->name);
        return;
    }
    for (kind = 0; kind < FCI_TABLES; kind++)
        if (!strchr(fci_table_kinds[kind].word, ' '))
            fci_nearest_try(&nearest, fci_table_kinds[kind].word);
    fci_nearest_try(&nearest, "fixture");
    if (fci_nearest_word(&nearest))
        fci_table_wrong(
            r, NULL,
            "is not a known kind of table section; did you mean \"%s\"?",
            fci_nearest_word(&nearest));
    else
        fci_table_wrong(r, NULL,
                        "is not a known kind of table section; pipe, "
                        "fittings, fixture, demand, falling, meter, valve, "
                        "minimum, limit, usual, fault, arresters or judgment "
                        "is expected");
}

static bool
is_usable_name(struct fci_table_reader *r, const struct fci_table_kind *kind,
               const char *name)
{
    char expected[320] = "";
    size_t i;

    if (!*name) {
        fci_table_wrong(r, NULL, "has no name; a name is needed");
        return false;
    }
    if (!kind->names)
        return true;
    for (i = 0; kind->names[i]; i++) {
        if (fci_same_name(kind->names[i], name))
            return true;
        strncat(expected,
                i == 0               ? ""
                : kind->names[i + 1] ? ", "
                                     : " or ",
                sizeof expected - strlen(expected) - 1);
        strncat(expected, kind->names[i],
                sizeof expected - strlen(expected) - 1);
    }
    fci_table_wrong(r, NULL, "has a name that nothing uses; %s is expected",
                    expected);
    return false;
}

static void
type_part(struct fci_tables *tables, struct fci_table_reader *r)
{
    const struct fci_section *section = &r->part->section;
    const struct fci_entry *source = fci_section_entry(section, "source");
    struct fci_entry_head *head;
    struct fci_table_list *entries;
    const char *name = "";
    enum fci_table kind = kind_of(section, &name);
    fc_status status;
    size_t value;
    bool known;

    if (kind == FCI_TABLES) {
        wrong_kind(r);
        return;
    }
    if (!is_usable_name(r, &fci_table_kinds[kind], name))
        return;
    entries = &tables->of[kind];
    head =
        (struct fci_entry_head *)(void *)(entries->items
                                          + entries->n
                                                * fci_table_kinds[kind].size);
    *head = (struct fci_entry_head){ name, source ? source->value : "",
                                     r->part->amended, section };
    value = entries->n++;
    status = fci_names_enter(&entries->names, name, &value, &known);
    fci_table_note(r, status);
    if (kind == FCI_TABLE_FIXTURE_UPC)
        ((struct fci_fixture_kind *)(void *)head)->code = FC_UPC;
    if (status == FC_OK)
        fci_table_kinds[kind].read(r, head);
}

static fc_status
type_parts(struct fci_tables *tables, fc_diagnostics *messages)
{
    size_t room[FCI_TABLES + 1] = { 0 }, i;
    fc_status worst = FC_OK;
    const char *name;

    for (i = 0; i < tables->n_parts; i++)
        room[kind_of(&tables->parts[i].section, &name)]++;
    for (i = 0; i < FCI_TABLES; i++) {
        tables->of[i].size = fci_table_kinds[i].size;
        tables->of[i].items =
            fci_arena_array(&tables->arena, room[i], tables->of[i].size);
        if (!tables->of[i].items)
            return FC_ENOMEM;
    }
    for (i = 0; i < tables->n_parts && worst != FC_ENOMEM; i++) {
        struct fci_table_reader r = { &tables->arena, &tables->parts[i],
                                      messages, FC_OK };

        type_part(tables, &r);
        if (r.worst != FC_OK)
            worst = r.worst;
    }
    return worst;
}

/* ---- Names that entries refer to -------------------------------------- */

/* The entry of `kind` that the value of `key` names; what is wrong with it is
 * said with the nearest known one. */
static const void *
referred(const struct fci_tables *tables, struct fci_table_reader *r,
         const char *key, enum fci_table kind)
{
    const struct fci_entry *entry = fci_section_entry(&r->part->section, key);
    struct fci_nearest nearest;
    const void *found;

    if (!entry)
        return NULL;
    found = fci_table_find(tables, kind, entry->value);
    if (found)
        return found;
    nearest = fci_nearest_to(entry->value);
    if (fci_failure_has_room(r->messages))
        fci_nearest_try_names(&nearest, &tables->of[kind].names);
    if (fci_nearest_word(&nearest))
        fci_table_wrong(r, entry,
                        "\"%.60s\" is not known; did you mean \"%s\"?",
                        entry->value, fci_nearest_word(&nearest));
    else
        fci_table_wrong(r, entry,
                        "\"%.60s\" is not known; the name of a [%s] section "
                        "is expected",
                        entry->value, fci_table_kinds[kind].word);
    return NULL;
}

/* `use` in a [demand] section: the rows of another one. */
static void
use_other_rows(struct fci_tables *tables, struct fci_table_reader *r,
               const char *name)
{
    const struct fci_entry *use = fci_section_entry(&r->part->section, "use");
    const struct fci_curve_rows *other =
        referred(tables, r, "use", FCI_TABLE_DEMAND);
    struct fci_curve_rows *curves =
        (struct fci_curve_rows *)(void *)tables->of[FCI_TABLE_DEMAND].items;
    size_t i = fci_names_find(&tables->of[FCI_TABLE_DEMAND].names, name);

    if (!other || i == FCI_NO_NAME)
        return;
    if (fci_section_entry(other->head.section, "use")) {
        fci_table_wrong(r, use,
                        "\"%.60s\" uses another table itself; one with rows "
                        "of its own is expected",
                        use->value);
        return;
    }
    curves[i].n = other->n;
    curves[i].units = other->units;
    curves[i].tank = other->tank;
    curves[i].valve = other->valve;
}

static void
tie_part(struct fci_tables *tables, struct fci_table_reader *r)
{
    const char *name = "";
    enum fci_table kind = kind_of(&r->part->section, &name);
    size_t i;

    if (kind == FCI_TABLE_PIPE) {
        struct fci_material *materials =
            (struct fci_material *)(void *)tables->of[kind].items;

        i = fci_names_find(&tables->of[kind].names, name);
        if (i != FCI_NO_NAME)
            materials[i].fittings =
                referred(tables, r, "fittings", FCI_TABLE_FITTINGS);
    } else if (kind == FCI_TABLE_DEMAND) {
        use_other_rows(tables, r, name);
    } else if (kind == FCI_TABLE_FIXTURE_IPC
               || kind == FCI_TABLE_FIXTURE_UPC) {
        (void)referred(tables, r, "valve", FCI_TABLE_VALVE);
    }
}

static fc_status
tie_parts(struct fci_tables *tables, fc_diagnostics *messages)
{
    fc_status worst = FC_OK;
    size_t i;

    for (i = 0; i < tables->n_parts && worst != FC_ENOMEM; i++) {
        struct fci_table_reader r = { &tables->arena, &tables->parts[i],
                                      messages, FC_OK };

        tie_part(tables, &r);
        if (r.worst != FC_OK)
            worst = r.worst;
    }
    return worst;
}

fc_status
fci_table_entries(struct fci_tables *tables, fc_diagnostics *messages)
{
    const fc_status typed = type_parts(tables, messages);
    fc_status tied;

    if (typed == FC_ENOMEM)
        return typed;
    tied = tie_parts(tables, messages);
    return tied != FC_OK ? tied : typed;
}
