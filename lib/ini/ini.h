/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini.h -- an INI file as sections with their lines, nothing lost.
 *
 * The file is read with iniparser, which keeps no line numbers, lets a later
 * duplicate win, cuts a value at `;`, stops at 1,024 characters, prints to
 * standard error and looks a key up by walking all of them.  None of that
 * reaches the caller: every line is screened first, and iniparser is handed
 * small blocks that hold nothing it would stumble over.  The values are what
 * it gives.
 *
 * A `;` or `#` begins a comment at the start of a line or after white space.
 * A value may stand in "..." to hold one.  White space is the space, the tab
 * and the no-break space; within a value each reads as one space.
 */
#ifndef FCI_INI_INI_H
#define FCI_INI_INI_H

#include "flushcalc.h"
#include "ground/digest.h"
#include "ground/memory.h"

struct fci_entry {
    const char *key;   /* lower case, single spaces */
    const char *value; /* trimmed; never empty; NULL: a figure put in by a
                          call */
    int line;
    const char *written; /* what the file has for the key, where that is a
                            synonym; else NULL */
    bool headed;         /* the heading says it: it has no line of its own */
};

/* What has been said of the floors of a typical floor, so that what is wrong
 * with its section is said of one of them. */
struct fci_floors_told {
    struct fci_floors_told *next; /* of another section */
    bool open; /* while the file is read; later each floor counts */
    struct fci_floor_told
        *first; /* room for every line that the floors have */
    size_t n;
};

struct fci_floor_told {
    int line;  /* of an entry, or of the heading; below 0: of a setting */
    int floor; /* that it was said of first */
};

struct fci_section {
    const char *kind; /* lower case: the first word of `[kind name]`, or the
                         words of a synonym; as written */
    const char *name; /* the rest, single spaces, as written; "" if none */
    int line;
    struct fci_entry *entries; /* in the order of the file */
    size_t n_entries;
    bool typical;     /* one floor of a typical floor's section; */
    int floor;        /* that one */
    const char *each; /* of a typical one, the keys whose values are a floor's
                         own, each before a '.'; NULL: none */
    struct fci_floors_told *told; /* of a typical one; NULL: of any other */
    bool incomplete; /* a line of it was not understood: what seems to be
                        missing may be given there */
};

/* Start from { 0 }. */
struct fci_ini {
    struct fci_arena arena;
    const char *path;
    const char *text; /* as it was read, `length` bytes */
    size_t length;
    char digest[FCI_DIGEST_ROOM]; /* of that text */
    struct fci_section *sections; /* in the order of the file */
    size_t n_sections;
    bool unclear; /* what a heading or the text was to be is not known, so
                     that whole sections may be missing */
};

/* Read a file, or a text that stands for the file `path`.  FC_EINPUT: what is
 * wrong has been appended to `messages`; the sections that were understood are
 * there all the same, so that their errors can be reported in the same go.
 * FC_EIO: it cannot be read, said too.  On FC_EIO and FC_ENOMEM `ini` is
 * empty. */
fc_status fci_ini_read_file(struct fci_ini *ini, const char *path,
                            fc_diagnostics *messages);
fc_status fci_ini_read_text(struct fci_ini *ini, const char *text,
                            size_t length, const char *path,
                            fc_diagnostics *messages);
void fci_ini_free(struct fci_ini *ini);

/* Whether a heading holds `{floor`: it stands for several floors, and another
 * section of the same heading for others. */
bool fci_names_floors(const char *heading);
/* The entry with this key, or NULL. */
/* What the file has for the key of an entry. */
const char *fci_entry_key(const struct fci_entry *entry);
const struct fci_entry *fci_section_entry(const struct fci_section *section,
                                          const char *key);
/* Whether the value of the key is its floor's own, whatever the other floors
 * of a typical one have. */
bool fci_section_each(const struct fci_section *section, const char *key);
/* A copy with room for so many more entries; NULL when out of memory. */
struct fci_section *fci_section_copy(const struct fci_section *section,
                                     size_t more, struct fci_arena *arena);

#endif
