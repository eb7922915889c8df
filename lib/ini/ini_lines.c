/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_lines.c -- screening: what the lines of a text hold. */
#include "ini/ini_lines.h"
#include "ground/characters.h"
#include "ground/diagnostics.h"
#include "ini/ini_sections.h"
#include "ini/ini_text.h"

#include <string.h>

struct screening {
    struct fci_gathering gathering;
    fc_status status; /* FC_ENOMEM and FC_EIO end it */
    int line;
    enum { AT_TOP, IN_SECTION, IN_UNKNOWN_SECTION } where;
    bool said_at_top, said_not_text;
};

static bool
has_ended(const struct screening *s)
{
    return s->status == FC_ENOMEM || s->status == FC_EIO;
}

static void
mark_incomplete(struct screening *s)
{
    struct fci_gathering *g = &s->gathering;

    if (s->where == IN_SECTION)
        g->sections[g->n_sections - 1].incomplete = true;
}

/* Take the status of fci_fail(). */
static void
blame(struct screening *s, fc_status status)
{
    if (s->status == FC_OK || status == FC_ENOMEM)
        s->status = status;
    mark_incomplete(s);
}

#define BLAME(s, ...)                                                         \
    blame(s, fci_fail((s)->gathering.messages, FC_EINPUT,                     \
                      (s)->gathering.ini->path, (s)->line, __VA_ARGS__))

static void
begin_section(struct screening *s, const char *heading)
{
    int first;

    if (fci_gather_section(&s->gathering, heading, s->line, &first) != FC_OK)
        s->status = FC_ENOMEM;
    else if (first)
        BLAME(s,
              "[%s] was given in line %d already; one section of that kind "
              "and name is expected",
              fci_excerpt(heading).text, first);
    else
        s->where = IN_SECTION;
}

static void
read_heading(struct screening *s, char *text)
{
    char *close = strchr(text, ']');
    const char *rest, *heading;

    s->where = IN_UNKNOWN_SECTION;
    if (!close || fci_comment_in(text, close)) {
        s->gathering.ini->unclear = true;
        BLAME(s, "\"%s\" is not closed; expected \"]\" after the name",
              fci_excerpt(text).text);
        return;
    }
    *close = '\0';
    heading = fci_squeezed(text + 1);
    rest = fci_trimmed(close + 1);
    if (!*heading) {
        s->gathering.ini->unclear = true;
        BLAME(s, "the section has no kind; expected [kind] or [kind name]");
        return;
    }
    begin_section(s, heading);
    if (*rest && !fci_is_comment(*rest))
        BLAME(s, "\"%s\" follows \"]\"; only a comment may follow there",
              fci_excerpt(rest).text);
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
              fci_excerpt(key).text);
        return NULL;
    }
    *close = '\0';
    rest = fci_trimmed(close + 1);
    if (*rest && !fci_is_comment(*rest)) {
        BLAME(s,
              "\"%s\" follows the quoted value of \"%s\"; only a comment may "
              "follow there",
              fci_excerpt(rest).text, fci_excerpt(key).text);
        return NULL;
    }
    return fci_trimmed(text + 1);
}

static const char *
plain_value(struct screening *s, const char *key, char *text)
{
    char *end = text + strlen(text);
    char *comment = fci_is_comment(*text) ? text : fci_comment_in(text, end);

    if (comment) {
        *comment = '\0';
        text = fci_trimmed(text);
        end = text + strlen(text);
    }
    if (end > text && end[-1] == '\\') {
        BLAME(s,
              "the value of \"%s\" ends in a backslash, which does not join "
              "lines; write it on one line",
              fci_excerpt(key).text);
        return NULL;
    }
    return text;
}

static void
note_entry(struct screening *s, const char *key, const char *value)
{
    int first;
    const fc_status status =
        fci_gather_entry(&s->gathering, key, value, s->line, &first);

    if (status != FC_OK)
        s->status = status;
    else if (first)
        BLAME(s,
              "\"%s\" was given in line %d of this section already; it is "
              "expected once",
              fci_excerpt(key).text, first);
}

static void
read_entry(struct screening *s, char *text)
{
    char *equals = strchr(text, '='), *key, *c;
    const char *value;

    if (!equals || fci_comment_in(text, equals)) {
        BLAME(s,
              "\"%s\" is neither a section nor a key with its value; expected "
              "[kind name] or key = value",
              fci_excerpt(text).text);
        return;
    }
    *equals = '\0';
    key = fci_squeezed(text);
    for (c = key; *c; c++)
        *c = fci_lower(*c);
    if (!*key) {
        BLAME(s, "nothing is before \"=\"; expected key = value");
        return;
    }
    text = fci_trimmed(equals + 1);
    value =
        *text == '"' ? quoted_value(s, key, text) : plain_value(s, key, text);
    if (value && !*value)
        BLAME(s, "\"%s\" has no value; expected one after \"=\"",
              fci_excerpt(key).text);
    else if (value && s->where == IN_SECTION)
        note_entry(s, key, value);
}

/* One message for a file that is not text: its other lines would say the same
 * again.  A control character could also be one that a terminal obeys. */
static void
blame_text(struct screening *s, const struct fci_not_text *wrong)
{
    mark_incomplete(s);
    if (s->said_not_text)
        return;
    s->said_not_text = true;
    if (wrong->character < 0)
        BLAME(s,
              "byte %zu of the line is 0x%02X, which is not UTF-8; expected "
              "a text file in UTF-8",
              wrong->column, wrong->byte);
    else
        BLAME(s,
              "byte %zu of the line begins the control character U+%04lX; "
              "expected a text file",
              wrong->column, (unsigned long)wrong->character);
}

static void
read_plain_line(struct screening *s, char *text)
{
    if (!*text || fci_is_comment(*text))
        return;
    if (*text == '[') {
        read_heading(s, text);
    } else if (s->where != AT_TOP) {
        read_entry(s, text);
    } else if (!s->said_at_top) {
        s->said_at_top = true;
        s->gathering.ini->unclear = true;
        BLAME(s,
              "\"%s\" is before the first section; expected [kind] or [kind "
              "name] first",
              fci_excerpt(text).text);
    }
}

/* What follows a heading that cannot be read belongs to no section. */
static void
leave_section(struct screening *s, const char *start, size_t length)
{
    while (length > 0 && (*start == ' ' || *start == '\t')) {
        start++;
        length--;
    }
    if (length == 0 || *start != '[')
        return;
    s->where = IN_UNKNOWN_SECTION;
    s->gathering.ini->unclear = true;
}

static void
read_line(struct screening *s, const char *start, size_t length)
{
    char line[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;
    const bool plain = length <= FCI_LONGEST_LINE
                       && fci_plain_line(start, length, line, &wrong);

    if (!plain)
        leave_section(s, start, length);
    if (length > FCI_LONGEST_LINE)
        BLAME(s, "the line is %zu bytes long; at most %u can be read", length,
              FCI_LONGEST_LINE);
    else if (!plain)
        blame_text(s, &wrong);
    else
        read_plain_line(s, fci_trimmed(line));
}

static void
read_lines(struct screening *s, const char *text, size_t length)
{
    const char *const end = text + length;

    if (length >= 3 && memcmp(text, "\xef\xbb\xbf", 3) == 0)
        text += 3; /* a byte order mark */
    while (text < end && !has_ended(s)) {
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

/* A NUL byte tells a file of another sort altogether, such as UTF-16: nothing
 * else is worth saying about it. */
static void
blame_nul(struct screening *s, const char *text, const char *nul)
{
    for (s->line = 1; text < nul; text++)
        s->line += *text == '\n';
    s->gathering.ini->unclear = true;
    BLAME(s, "this line has a NUL byte; expected a text file in UTF-8");
}

fc_status
fci_screen(struct fci_ini *ini, const char *text, size_t length,
           fc_diagnostics *messages)
{
    struct screening s = { .gathering = { .ini = ini, .messages = messages } };
    const char *nul = length > 0 ? memchr(text, '\0', length) : NULL;

    if (nul)
        blame_nul(&s, text, nul);
    else if (length > 0)
        read_lines(&s, text, length);
    if (!has_ended(&s)) {
        const fc_status status = fci_gather_end(&s.gathering);

        if (status != FC_OK)
            s.status = status;
    }
    fci_gathering_free(&s.gathering);
    return s.status;
}
