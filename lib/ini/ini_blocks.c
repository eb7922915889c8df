/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_blocks.c -- what screening noted, read by iniparser.
 *
 * It is written out in one plain form, a block at a time; every value that
 * iniparser gives must be the one that was noted.
 */
#include "ini/ini_blocks.h"
#include "ini/ini_text.h"
#include "ini/scratch.h"

#include <errno.h>
#include <iniparser/iniparser.h>
#include <stdlib.h>
#include <string.h>

/* iniparser's dictionary has room for 128 items, sections among them.  When it
 * must grow it is slow, and prints when it cannot.  The sizes also bound the
 * memory that it takes for a block. */
#define MOST_ITEMS 120u
#define BLOCK_SIZE ((size_t)40 << 10)
#define MEMORY_FOR_BLOCK ((size_t)80 << 10)
/* Section, key, number and value of an entry. */
#define LONGEST_ITEM (FCI_LONGEST_LINE + 64u)
/* Stands for `"` in what iniparser reads; screening let none through. */
#define QUOTE '\1'

struct item {
    size_t section;
    const struct fci_entry *entry; /* NULL: the section itself */
};

struct block {
    const struct fci_ini *ini;
    struct fci_scratch scratch;
    size_t section, entry; /* what comes next */
    size_t n_items;
    struct item items[MOST_ITEMS];
    char *end; /* of the text */
    char text[BLOCK_SIZE];
};

/* Like stpcpy(), these return the end of what they wrote. */

static char *
put_number(char *to, size_t n)
{
    char digits[3 * sizeof n + 1];
    size_t at = sizeof digits - 1;

    digits[at] = '\0';
    do
        digits[--at] = (char)('0' + n % 10);
    while ((n /= 10) > 0);
    return stpcpy(to, digits + at);
}

/* The number of the item follows the key, so that what an 8-bit locale takes
 * for a space or a capital among the bytes of a key cannot make two alike. */
static char *
put_key(char *to, const struct fci_entry *entry, size_t number)
{
    to = stpcpy(to, entry->key);
    *to++ = '.';
    return put_number(to, number);
}

/* What iniparser calls an item: section and key with a colon between. */
static void
put_name(char *to, const struct item *item, size_t number)
{
    to = put_number(to, item->section);
    if (item->entry) {
        *to++ = ':';
        put_key(to, item->entry, number);
    }
}

/* A section goes by its number: names that hold a colon would be
 * ambiguous. */
static char *
put_section(char *to, size_t section)
{
    *to++ = '[';
    to = put_number(to, section);
    return stpcpy(to, "]\n");
}

static char *
put_entry(char *to, const struct fci_entry *entry, size_t number)
{
    const char *c;

    to = put_key(to, entry, number);
    to = stpcpy(to, "=\"");
    for (c = entry->value; *c; c++)
        *to++ = *c == '"' ? QUOTE : *c;
    return stpcpy(to, "\"\n");
}

static bool
is_value(const char *read, const char *noted)
{
    for (; *noted; read++, noted++)
        if (*read != *noted && !(*read == QUOTE && *noted == '"'))
            return false;
    return !*read;
}

static bool
is_full(const struct block *block)
{
    return block->n_items == MOST_ITEMS
           || block->end > block->text + BLOCK_SIZE - LONGEST_ITEM;
}

/* The section that comes next, or the next entry of it. */
static void
put_item(struct block *block, const struct fci_entry *entry)
{
    const size_t number = block->n_items++;

    block->items[number] = (struct item){ block->section, entry };
    block->end = entry ? put_entry(block->end, entry, number)
                       : put_section(block->end, block->section);
}

/* A section too long for one block goes on in the next, under its head. */
static void
fill(struct block *block)
{
    const struct fci_ini *ini = block->ini;

    block->n_items = 0;
    block->end = block->text;
    while (block->section < ini->n_sections && !is_full(block)) {
        const struct fci_section *section = &ini->sections[block->section];

        put_item(block, NULL);
        while (block->entry < section->n_entries && !is_full(block))
            put_item(block, &section->entries[block->entry++]);
        if (block->entry < section->n_entries)
            return;
        block->section++;
        block->entry = 0;
    }
}

static bool
has_item(const dictionary *read, const struct item *item, size_t number)
{
    char name[LONGEST_ITEM];
    const char *value;

    put_name(name, item, number);
    if (!item->entry)
        return iniparser_find_entry(read, name);
    value = iniparser_getstring(read, name, NULL);
    return value && is_value(value, item->entry->value);
}

/* iniparser prints when it cannot open its file, and does not survive every
 * want of memory.  So make sure just before that both are to be had. */
static fc_status
make_ready(const struct fci_scratch *scratch)
{
    /* volatile: or compilers leave out what is freed unused. */
    void *volatile memory = malloc(MEMORY_FOR_BLOCK);

    if (!memory)
        return FC_ENOMEM;
    free(memory);
    return fci_scratch_ready(scratch) ? FC_OK : FC_EIO;
}

static fc_status
read_block(const struct block *block)
{
    const size_t length = (size_t)(block->end - block->text);
    fc_status status;
    dictionary *read;
    size_t i;

    if (!fci_scratch_write(&block->scratch, block->text, length))
        return FC_EIO;
    status = make_ready(&block->scratch);
    if (status != FC_OK)
        return status;
    read = iniparser_load(block->scratch.path);
    if (!read)
        return FC_ENOMEM;
    for (i = 0; i < block->n_items && status == FC_OK; i++)
        if (!has_item(read, &block->items[i], i))
            status = FC_ENOMEM; /* iniparser leaves out what has no room */
    iniparser_freedict(read);
    return status;
}

static fc_status
read_all(struct block *block)
{
    fc_status status = FC_OK;

    if (!fci_scratch_open(&block->scratch))
        status = FC_EIO;
    while (status == FC_OK && block->section < block->ini->n_sections) {
        fill(block);
        status = read_block(block);
    }
    return status;
}

fc_status
fci_read_blocks(const struct fci_ini *ini)
{
    struct block *block;
    fc_status status;
    int error;

    if (ini->n_sections == 0)
        return FC_OK;
    block = malloc(sizeof *block);
    if (!block)
        return FC_ENOMEM;
    block->ini = ini;
    block->section = block->entry = 0;
    status = read_all(block);
    error = errno;
    fci_scratch_close(&block->scratch);
    free(block);
    errno = error;
    return status;
}
