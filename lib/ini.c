/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini.c -- an INI file as sections with their lines.
 *
 * Two steps.  Screening goes over the lines, says what is wrong with them and
 * notes what the others hold.  What it noted is then written out in one plain
 * form, a block at a time, for iniparser to read; every value that iniparser
 * gives must be the one that was noted.
 */
#include "ini.h"
#include "diagnostics.h"
#include "names.h"

#include <errno.h>
#include <fcntl.h>
#include <iniparser/iniparser.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#define LONGEST_LINE                                                          \
    1000u /* iniparser's own limit is 1,024 with our marks                    \
           */
#define LARGEST_TEXT ((size_t)64 << 20)

/* ---- Characters -------------------------------------------------------- */

/* isspace() and tolower() depend on the locale; a site file does not. */
static char
lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

static bool
is_comment(char c)
{
    return c == ';' || c == '#';
}

/* The code point at the start of n > 0 bytes of UTF-8, its length in *size;
 * -1 when there is none. */
static long
code_point(const unsigned char *s, size_t n, size_t *size)
{
    static const long least[] = { 0, 0, 0x80, 0x800, 0x10000 };
    long c = s[0];
    size_t i;

    *size = c < 0x80 ? 1 : c < 0xc0 ? 0 : c < 0xe0 ? 2 : c < 0xf0 ? 3 : 4;
    if (*size == 1)
        return c;
    if (*size == 0 || c > 0xf4 || *size > n)
        return -1;
    c &= 0x7f >> *size;
    for (i = 1; i < *size; i++) {
        if ((s[i] & 0xc0) != 0x80)
            return -1;
        c = c << 6 | (s[i] & 0x3f);
    }
    if (c < least[*size] || c > 0x10ffff || (c >= 0xd800 && c <= 0xdfff))
        return -1;
    return c;
}

/* Without white space at both ends.  Only spaces are left by then. */
static char *
trimmed(char *text)
{
    size_t n;

    text += strspn(text, " ");
    n = strlen(text);
    while (n > 0 && text[n - 1] == ' ')
        n--;
    text[n] = '\0';
    return text;
}

/* The same with single spaces inside. */
static char *
squeezed(char *text)
{
    char *to, *from;

    text = trimmed(text);
    for (to = from = text; *from; from++)
        if (*from != ' ' || from[1] != ' ')
            *to++ = *from;
    *to = '\0';
    return text;
}

/* Where a comment begins in what follows the first character of a line. */
static char *
comment_in(char *text)
{
    for (; *text; text++)
        if (*text == ' ' && is_comment(text[1]))
            return text + 1;
    return NULL;
}

/* The start of a text, for messages. */
struct excerpt {
    char text[48];
};

static struct excerpt
excerpt(const char *text)
{
    struct excerpt e;
    size_t n = strlen(text);

    if (n < sizeof e.text) {
        memcpy(e.text, text, n + 1);
        return e;
    }
    n = sizeof e.text - sizeof "...";
    while (n > 0 && ((unsigned char)text[n] & 0xc0) == 0x80)
        n--; /* not in the middle of a character */
    memcpy(e.text, text, n);
    memcpy(e.text + n, "...", sizeof "...");
    return e;
}

/* ---- Screening --------------------------------------------------------- */

struct screening {
    struct fci_ini *ini;
    fc_diagnostics *messages;
    fc_status status; /* FC_ENOMEM ends it */
    int line;
    enum { AT_TOP, IN_SECTION, IN_UNKNOWN_SECTION } where;
    bool said_at_top, said_not_text;
    struct fci_section *sections;
    size_t n_sections, sections_room;
    struct fci_entry *entries; /* of all sections */
    size_t n_entries, entries_room;
    struct fci_names headings, keys; /* keys: of this section */
    struct fci_arena heading_texts;
};

static void
out_of_memory(struct screening *s)
{
    s->status = FC_ENOMEM;
}

/* Take the status of fci_fail(). */
static void
blame(struct screening *s, fc_status status)
{
    if (s->status == FC_OK || status == FC_ENOMEM)
        s->status = status;
    if (s->where == IN_SECTION)
        s->sections[s->n_sections - 1].incomplete = true;
}

#define BLAME(s, ...)                                                         \
    blame(s, fci_fail((s)->messages, FC_EINPUT, (s)->ini->path, (s)->line,    \
                      __VA_ARGS__))

static struct fci_section *
add_section(struct screening *s, const char *heading)
{
    const size_t n_kind = strcspn(heading, " ");
    struct fci_arena *arena = &s->ini->arena;
    struct fci_section *grown, *section;
    char *kind;
    const char *name;
    size_t i;

    grown = fci_grow(s->sections, s->n_sections, &s->sections_room,
                     sizeof *s->sections);
    if (!grown)
        return NULL;
    s->sections = grown;
    kind = fci_arena_substring(arena, heading, n_kind);
    heading += n_kind;
    name = fci_arena_string(arena, *heading ? heading + 1 : "");
    if (!kind || !name)
        return NULL;
    for (i = 0; i < n_kind; i++)
        kind[i] = lower(kind[i]);
    section = &s->sections[s->n_sections];
    *section =
        (struct fci_section){ .kind = kind, .name = name, .line = s->line };
    return section;
}

static void
begin_section(struct screening *s, const char *heading)
{
    size_t first = s->n_sections;
    bool known = false;
    const char *kept;

    fci_names_free(&s->keys);
    kept = fci_arena_string(&s->heading_texts, heading);
    if (!kept
        || fci_names_enter(&s->headings, kept, &first, &known) != FC_OK) {
        out_of_memory(s);
        return;
    }
    if (known) {
        BLAME(s,
              "[%s] was given in line %d already; one section of that kind "
              "and name is expected",
              excerpt(heading).text, s->sections[first].line);
        return;
    }
    if (!add_section(s, kept)) {
        out_of_memory(s);
        return;
    }
    s->n_sections++;
    s->where = IN_SECTION;
}

static void
read_heading(struct screening *s, char *text)
{
    char *close = strchr(text, ']');
    const char *comment = comment_in(text), *rest, *heading;

    s->where = IN_UNKNOWN_SECTION;
    if (!close || (comment && comment < close)) {
        BLAME(s, "\"%s\" is not closed; expected \"]\" after the name",
              excerpt(text).text);
        return;
    }
    *close = '\0';
    heading = squeezed(text + 1);
    rest = trimmed(close + 1);
    if (!*heading) {
        BLAME(s, "the section has no kind; expected [kind] or [kind name]");
        return;
    }
    begin_section(s, heading);
    if (*rest && !is_comment(*rest))
        BLAME(s, "\"%s\" stands after \"]\"; only a comment may follow there",
              excerpt(rest).text);
}

static void
add_entry(struct screening *s, const char *key, const char *value)
{
    struct fci_section *section = &s->sections[s->n_sections - 1];
    const size_t first = s->n_entries - section->n_entries;
    size_t number = section->n_entries;
    struct fci_entry *grown, entry = { NULL, NULL, s->line };
    bool known = false;

    entry.key = fci_arena_string(&s->ini->arena, key);
    entry.value = fci_arena_string(&s->ini->arena, value);
    grown = fci_grow(s->entries, s->n_entries, &s->entries_room,
                     sizeof *s->entries);
    if (grown)
        s->entries = grown;
    if (!entry.key || !entry.value || !grown
        || fci_names_enter(&s->keys, entry.key, &number, &known) != FC_OK) {
        out_of_memory(s);
        return;
    }
    if (known) {
        BLAME(s,
              "\"%s\" was given in line %d of this section already; it is "
              "expected once",
              excerpt(key).text, s->entries[first + number].line);
        return;
    }
    s->entries[s->n_entries++] = entry;
    section->n_entries++;
}

/* What stands between quotes, `text` being the first of them. */
static const char *
quoted_value(struct screening *s, const char *key, char *text)
{
    char *close = strchr(text + 1, '"');
    const char *rest;

    if (!close) {
        BLAME(s,
              "the value of \"%s\" begins with a quote that is not closed; "
              "expected a second \"",
              excerpt(key).text);
        return NULL;
    }
    *close = '\0';
    rest = trimmed(close + 1);
    if (*rest && !is_comment(*rest)) {
        BLAME(s,
              "\"%s\" stands after the quoted value of \"%s\"; only a comment "
              "may follow there",
              excerpt(rest).text, excerpt(key).text);
        return NULL;
    }
    return trimmed(text + 1);
}

static const char *
plain_value(struct screening *s, const char *key, char *text)
{
    char *comment = is_comment(*text) ? text : comment_in(text);
    size_t n;

    if (comment)
        *comment = '\0';
    text = trimmed(text);
    n = strlen(text);
    if (n > 0 && text[n - 1] == '\\') {
        BLAME(s,
              "the value of \"%s\" ends in a backslash, which does not join "
              "lines; write it on one line",
              excerpt(key).text);
        return NULL;
    }
    return text;
}

static void
read_entry(struct screening *s, char *text)
{
    char *equals = strchr(text, '='), *key, *c;
    const char *comment = comment_in(text), *value;

    if (!equals || (comment && comment < equals)) {
        BLAME(s,
              "\"%s\" is neither a section nor a key with its value; expected "
              "[kind name] or key = value",
              excerpt(text).text);
        return;
    }
    *equals = '\0';
    key = squeezed(text);
    for (c = key; *c; c++)
        *c = lower(*c);
    if (!*key) {
        BLAME(s, "nothing stands before \"=\"; expected key = value");
        return;
    }
    text = trimmed(equals + 1);
    value =
        *text == '"' ? quoted_value(s, key, text) : plain_value(s, key, text);
    if (!value)
        return;
    if (!*value)
        BLAME(s, "\"%s\" has no value; expected one after \"=\"",
              excerpt(key).text);
    else if (s->where == IN_SECTION)
        add_entry(s, key, value);
}

/* One message for a file that is not text: its other lines would say the same
 * again.  A control character could also be one that a terminal obeys. */
static void
blame_text(struct screening *s, size_t column, long c, unsigned char byte)
{
    if (s->said_not_text)
        return;
    s->said_not_text = true;
    if (c < 0)
        BLAME(s,
              "byte %zu of the line is 0x%02X, which is not UTF-8; expected "
              "a text file in UTF-8",
              column, byte);
    else
        BLAME(s,
              "byte %zu of the line begins the control character U+%04lX; "
              "expected a text file",
              column, (unsigned long)c);
}

/* Copy a line into `to`, of at least n + 1 bytes, with a space for each white
 * space. */
static bool
copy_text(struct screening *s, const char *from, size_t n, char *to)
{
    size_t i, size;

    for (i = 0; i < n; i += size) {
        const unsigned char *at = (const unsigned char *)from + i;
        const long c = code_point(at, n - i, &size);

        if (c == '\t' || c == 0xa0) {
            *to++ = ' ';
        } else if (c < 0x20 || (c >= 0x7f && c < 0xa0)) {
            blame_text(s, i + 1, c, *at);
            if (s->where == IN_SECTION)
                s->sections[s->n_sections - 1].incomplete = true;
            return false;
        } else {
            memcpy(to, at, size);
            to += size;
        }
    }
    *to = '\0';
    return true;
}

static void
read_line(struct screening *s, const char *start, size_t length)
{
    char line[LONGEST_LINE + 1], *text;

    if (length > LONGEST_LINE) {
        BLAME(s, "the line is %zu bytes long; at most %u can be read", length,
              LONGEST_LINE);
        return;
    }
    if (!copy_text(s, start, length, line))
        return;
    text = trimmed(line);
    if (!*text || is_comment(*text))
        return;
    if (*text == '[') {
        read_heading(s, text);
    } else if (s->where != AT_TOP) {
        read_entry(s, text);
    } else if (!s->said_at_top) {
        s->said_at_top = true;
        BLAME(s,
              "\"%s\" stands before the first section; expected [kind] or "
              "[kind name] first",
              excerpt(text).text);
    }
}

/* A NUL byte tells a file of another sort altogether, such as UTF-16: nothing
 * else is worth saying about it. */
static bool
is_text(struct screening *s, const char *text, size_t length)
{
    const char *nul = memchr(text, '\0', length);
    const char *c;

    if (!nul)
        return true;
    for (c = text, s->line = 1; c < nul; c++)
        s->line += *c == '\n';
    BLAME(s, "a NUL byte stands in this line; expected a text file in UTF-8");
    return false;
}

static void
read_lines(struct screening *s, const char *text, size_t length)
{
    const char *const end = text + length;

    if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0)
        text += 3; /* a byte order mark */
    while (text < end && s->status != FC_ENOMEM) {
        const char *stop = memchr(text, '\n', (size_t)(end - text));
        const char *next = stop ? stop + 1 : end;

        if (!stop)
            stop = end;
        if (stop > text && stop[-1] == '\r')
            stop--;
        s->line++;
        read_line(s, text, (size_t)(stop - text));
        text = next;
    }
}

/* Hand over what was found. */
static fc_status
keep(struct screening *s)
{
    struct fci_ini *ini = s->ini;
    struct fci_entry *entries;
    size_t i, n = 0;

    if (s->n_sections == 0)
        return FC_OK;
    ini->sections = fci_arena_copy(&ini->arena, s->sections,
                                   s->n_sections * sizeof *s->sections);
    entries = fci_arena_array(&ini->arena, s->n_entries, sizeof *entries);
    if (!ini->sections || !entries)
        return FC_ENOMEM;
    if (s->n_entries)
        memcpy(entries, s->entries, s->n_entries * sizeof *entries);
    ini->n_sections = s->n_sections;
    for (i = 0; i < ini->n_sections; i++) {
        ini->sections[i].entries = entries + n;
        n += ini->sections[i].n_entries;
    }
    return FC_OK;
}

static fc_status
screen(struct fci_ini *ini, const char *text, size_t length,
       fc_diagnostics *messages)
{
    struct screening s = { .ini = ini, .messages = messages };

    if (length > 0 && is_text(&s, text, length))
        read_lines(&s, text, length);
    if (s.status != FC_ENOMEM && keep(&s) != FC_OK)
        out_of_memory(&s);
    free(s.sections);
    free(s.entries);
    fci_names_free(&s.headings);
    fci_names_free(&s.keys);
    fci_arena_free(&s.heading_texts);
    return s.status;
}

/* ---- A file for iniparser to open -------------------------------------- */

/* iniparser takes nothing but a path. */
struct scratch {
    FILE *anonymous; /* NULL: the file has a name, to be removed */
    int fd;          /* -1: none */
    char *path;
    struct fci_arena arena;
};

static bool
can_open(const char *path)
{
    FILE *file = fopen(path, "r");

    return file && fclose(file) == 0;
}

/* A file without a name cannot be left behind, nor be opened by others. */
static void
open_anonymous(struct scratch *scratch)
{
    scratch->anonymous = tmpfile();
    if (!scratch->anonymous)
        return;
    scratch->fd = fileno(scratch->anonymous);
    scratch->path =
        fci_arena_printf(&scratch->arena, "/dev/fd/%d", scratch->fd);
    if (scratch->path && can_open(scratch->path))
        return;
    fclose(scratch->anonymous);
    scratch->anonymous = NULL;
    scratch->fd = -1;
}

static void
open_named(struct scratch *scratch)
{
    const char *folder = getenv("TMPDIR");

    if (!folder || !*folder)
        folder = "/tmp";
    scratch->path =
        fci_arena_printf(&scratch->arena, "%s/flushcalc-XXXXXX", folder);
    if (scratch->path)
        scratch->fd = mkstemp(scratch->path);
    else
        errno = ENOMEM;
}

/* On failure errno tells why. */
static bool
open_scratch(struct scratch *scratch)
{
    scratch->fd = -1;
    open_anonymous(scratch);
    if (scratch->fd < 0)
        open_named(scratch);
    if (scratch->fd < 0)
        return false;
    /* Not for programs that another thread starts meanwhile. */
    fcntl(scratch->fd, F_SETFD, FD_CLOEXEC);
    return true;
}

static void
close_scratch(struct scratch *scratch)
{
    if (scratch->anonymous) {
        fclose(scratch->anonymous);
    } else if (scratch->fd >= 0) {
        close(scratch->fd);
        unlink(scratch->path);
    }
    fci_arena_free(&scratch->arena);
}

static bool
write_scratch(const struct scratch *scratch, const char *text, size_t n)
{
    size_t done = 0;

    while (done < n) {
        const ssize_t wrote =
            pwrite(scratch->fd, text + done, n - done, (off_t)done);

        if (wrote >= 0)
            done += (size_t)wrote;
        else if (errno != EINTR)
            return false;
    }
    /* Where opening /dev/fd/N shares the position, it has to be the start. */
    return ftruncate(scratch->fd, (off_t)n) == 0
           && lseek(scratch->fd, 0, SEEK_SET) == 0;
}

/* ---- Blocks for iniparser ---------------------------------------------- */

/* iniparser's dictionary has room for 128 items, sections among them.  When it
 * must grow it is slow, and prints when it cannot.  The sizes also bound the
 * memory that it takes for a block. */
#define MOST_ITEMS 120u
#define BLOCK_SIZE ((size_t)40 << 10)
#define MEMORY_FOR_BLOCK ((size_t)80 << 10)
/* Key, number and value of an entry, or the number of a section. */
#define LONGEST_ITEM (LONGEST_LINE + 32u)
/* Stands for `"` in what iniparser reads; screening let none through. */
#define QUOTE '\1'

struct block {
    const struct fci_ini *ini;
    struct scratch scratch;
    size_t section, entry; /* what comes next */
    struct {
        size_t section;
        const struct fci_entry *entry; /* NULL: the section itself */
    } items[MOST_ITEMS];
    size_t n_items;
    size_t n_text;
    char text[BLOCK_SIZE];
};

static bool
is_full(const struct block *block)
{
    return block->n_items == MOST_ITEMS
           || BLOCK_SIZE - block->n_text < LONGEST_ITEM;
}

static void
put_number(struct block *block, size_t n)
{
    char digits[3 * sizeof n];
    size_t at = sizeof digits;

    do
        digits[--at] = (char)('0' + n % 10);
    while ((n /= 10) > 0);
    memcpy(block->text + block->n_text, digits + at, sizeof digits - at);
    block->n_text += sizeof digits - at;
}

static void
put(struct block *block, const char *text, size_t n)
{
    memcpy(block->text + block->n_text, text, n);
    block->n_text += n;
}

static void
note_item(struct block *block, const struct fci_entry *entry)
{
    block->items[block->n_items].section = block->section;
    block->items[block->n_items].entry = entry;
    block->n_items++;
}

/* A section goes by its number: as iniparser joins section and key by a colon,
 * names that hold one would be ambiguous. */
static void
put_section(struct block *block)
{
    note_item(block, NULL);
    put(block, "[", 1);
    put_number(block, block->section);
    put(block, "]\n", 2);
}

/* The number of the item follows the key, so that what an 8-bit locale takes
 * for a space or a capital among the bytes of a key cannot make two alike. */
static void
put_entry(struct block *block, const struct fci_entry *entry)
{
    const size_t number = block->n_items;
    const char *c;

    note_item(block, entry);
    put(block, entry->key, strlen(entry->key));
    put(block, ".", 1);
    put_number(block, number);
    put(block, "=\"", 2);
    for (c = entry->value; *c; c++)
        block->text[block->n_text++] = *c == '"' ? QUOTE : *c;
    put(block, "\"\n", 2);
}

/* A section too long for one block goes on in the next, under its head. */
static void
fill(struct block *block)
{
    const struct fci_ini *ini = block->ini;

    block->n_items = block->n_text = 0;
    while (block->section < ini->n_sections && !is_full(block)) {
        const struct fci_section *section = &ini->sections[block->section];

        put_section(block);
        while (block->entry < section->n_entries && !is_full(block))
            put_entry(block, &section->entries[block->entry++]);
        if (block->entry < section->n_entries)
            return;
        block->section++;
        block->entry = 0;
    }
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
has_item(const dictionary *read, const struct block *block, size_t i)
{
    const struct fci_entry *entry = block->items[i].entry;
    char name[LONGEST_ITEM];
    const char *value;

    if (!entry) {
        snprintf(name, sizeof name, "%zu", block->items[i].section);
        return iniparser_find_entry(read, name);
    }
    snprintf(name, sizeof name, "%zu:%s.%zu", block->items[i].section,
             entry->key, i);
    value = iniparser_getstring(read, name, NULL);
    return value && is_value(value, entry->value);
}

/* iniparser prints when it cannot open its file, and does not survive every
 * want of memory.  So make sure just before that both are to be had. */
static fc_status
make_ready(const struct scratch *scratch)
{
    /* volatile: or compilers leave out what is freed unused. */
    void *volatile memory = malloc(MEMORY_FOR_BLOCK);
    bool ready;
    int error;

    if (!memory)
        return FC_ENOMEM;
    ready = can_open(scratch->path);
    error = errno;
    free(memory);
    errno = error;
    return ready ? FC_OK : error == ENOMEM ? FC_ENOMEM : FC_EIO;
}

static fc_status
read_block(const struct block *block)
{
    fc_status status;
    dictionary *read;
    size_t i;

    if (!write_scratch(&block->scratch, block->text, block->n_text))
        return FC_EIO;
    status = make_ready(&block->scratch);
    if (status != FC_OK)
        return status;
    read = iniparser_load(block->scratch.path);
    if (!read)
        return FC_ENOMEM;
    for (i = 0; i < block->n_items && status == FC_OK; i++)
        if (!has_item(read, block, i))
            status = FC_ENOMEM; /* iniparser leaves out what has no room */
    iniparser_freedict(read);
    return status;
}

/* FC_EIO: errno tells why. */
static fc_status
read_blocks(struct block *block)
{
    fc_status status = FC_OK;

    if (!open_scratch(&block->scratch))
        status = errno == ENOMEM ? FC_ENOMEM : FC_EIO;
    while (status == FC_OK && block->section < block->ini->n_sections) {
        fill(block);
        status = read_block(block);
    }
    return status;
}

/* ---- Reading ----------------------------------------------------------- */

static fc_status
blame_system(fc_diagnostics *messages, const char *path, const char *what,
             int error)
{
    char reason[128];

    if (error == ENOMEM)
        return FC_ENOMEM;
    if (strerror_r(error, reason, sizeof reason) != 0)
        snprintf(reason, sizeof reason, "error %d", error);
    return fci_fail(messages, FC_EIO, path, 0, "%s: %s", what, reason);
}

static fc_status
parse(const struct fci_ini *ini, fc_diagnostics *messages)
{
    struct block *block;
    fc_status status;
    int error;

    if (ini->n_sections == 0)
        return FC_OK;
    block = malloc(sizeof *block);
    if (!block)
        return FC_ENOMEM;
    memset(block, 0, offsetof(struct block, text));
    block->ini = ini;
    status = read_blocks(block);
    error = errno;
    close_scratch(&block->scratch);
    free(block);
    if (status == FC_EIO)
        status =
            blame_system(messages, ini->path,
                         "cannot be read by way of a temporary file", error);
    return status;
}

static fc_status
blame_size(const char *path, size_t size, bool more, fc_diagnostics *messages)
{
    return fci_fail(messages, FC_EINPUT, path, 0,
                    "is %s%zu bytes long; at most %zu (64 MiB) can be read",
                    more ? "more than " : "", size, LARGEST_TEXT);
}

fc_status
fci_ini_read_text(struct fci_ini *ini, const char *text, size_t length,
                  const char *path, fc_diagnostics *messages)
{
    fc_status status, parsed;

    *ini = (struct fci_ini){ 0 };
    if (length > LARGEST_TEXT)
        return blame_size(path, length, false, messages);
    ini->path = fci_arena_string(&ini->arena, path);
    status = ini->path ? screen(ini, text, length, messages) : FC_ENOMEM;
    if (status != FC_ENOMEM) {
        parsed = parse(ini, messages);
        if (parsed != FC_OK)
            status = parsed;
    }
    if (status == FC_ENOMEM || status == FC_EIO)
        fci_ini_free(ini);
    return status;
}

struct contents {
    char *text;
    size_t length, room;
};

/* One read, of what there is. */
static ssize_t
read_more(int fd, struct contents *contents)
{
    ssize_t n;

    if (contents->length == contents->room) {
        const size_t room = contents->room ? 2 * contents->room : 1u << 16;
        char *text = realloc(contents->text, room);

        if (!text) {
            errno = ENOMEM;
            return -1;
        }
        contents->text = text;
        contents->room = room;
    }
    do
        n = read(fd, contents->text + contents->length,
                 contents->room - contents->length);
    while (n < 0 && errno == EINTR);
    if (n > 0)
        contents->length += (size_t)n;
    return n;
}

static fc_status
read_contents(int fd, const char *path, struct contents *contents,
              fc_diagnostics *messages)
{
    struct stat about;
    ssize_t n;

    if (fstat(fd, &about) == 0 && S_ISREG(about.st_mode)
        && about.st_size > (off_t)LARGEST_TEXT)
        return blame_size(path, (size_t)about.st_size, false, messages);
    do
        n = read_more(fd, contents);
    while (n > 0 && contents->length <= LARGEST_TEXT);
    if (n < 0)
        return blame_system(messages, path, "cannot be read", errno);
    if (contents->length > LARGEST_TEXT)
        return blame_size(path, LARGEST_TEXT, true, messages);
    return FC_OK;
}

fc_status
fci_ini_read_file(struct fci_ini *ini, const char *path,
                  fc_diagnostics *messages)
{
    struct contents contents = { 0 };
    const int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    fc_status status;

    *ini = (struct fci_ini){ 0 };
    if (fd < 0)
        return blame_system(messages, path, "cannot be read", errno);
    status = read_contents(fd, path, &contents, messages);
    close(fd);
    if (status == FC_OK)
        status = fci_ini_read_text(ini, contents.text, contents.length, path,
                                   messages);
    free(contents.text);
    return status;
}

void
fci_ini_free(struct fci_ini *ini)
{
    fci_arena_free(&ini->arena);
    *ini = (struct fci_ini){ 0 };
}

const struct fci_entry *
fci_section_entry(const struct fci_section *section, const char *key)
{
    size_t i;

    for (i = 0; i < section->n_entries; i++)
        if (strcmp(section->entries[i].key, key) == 0)
            return &section->entries[i];
    return NULL;
}
