/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_words.c -- keys that hold words: a text, a name, one of a few.
 */
#include "ground/book.h"
#include "ground/call.h"
#include "ground/diagnostics.h"
#include "ground/synonyms.h"
#include "ini/field_type.h"
#include "ini/ini_text.h"

#include <stdio.h>
#include <string.h>

/* ---- Texts and names -------------------------------------------------- */

static fc_status
read_text(struct fci_value *v, char *part)
{
    const char *text = fci_arena_string(v->arena, v->text);

    *FCI_INTO(part, v->field->offset, const char *) = text;
    return text ? FC_OK : FC_ENOMEM;
}

void
fci_check_text(struct fci_value *v, const char *text)
{
    char plain[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;
    const size_t n = strnlen(text, FCI_LONGEST_LINE + 1);

    if (n > FCI_LONGEST_LINE)
        fci_value_fail(v,
                       "is longer than a line; at most %u characters are "
                       "expected",
                       FCI_LONGEST_LINE);
    else if (!fci_plain_line(text, n, plain, &wrong))
        fci_value_fail(v, "has more than one line or a control character, or "
                          "is not text in UTF-8; a line of text is expected");
}

static void
check_text(struct fci_value *v, const char *data)
{
    const char *text = *FCI_AT(data, v->field->offset, char *);
    const bool called = !v->where.section; /* else the reader has said it */

    if (called && v->field->required && !text)
        fci_value_fail(v, "is not given; a name is needed");
    else if (called && v->field->type == &fci_name_field && text && !*text)
        fci_value_fail(v, "is empty; a name is expected");
    else if (text)
        fci_check_text(v, text);
}

/* check_text() has seen to it that it is a line of text. */
static void
write_text(struct fci_value *v, const char *data)
{
    const char *text = *FCI_AT(data, v->field->offset, char *);
    char plain[FCI_LONGEST_LINE + 1];
    struct fci_not_text wrong;

    if (text && strstr(text, "{floor"))
        fci_blame(v, "holds {floor} outside a typical floor");
    else if (text && fci_plain_line(text, strlen(text), plain, &wrong))
        fci_put(v, "%s", fci_trimmed(plain));
}

static bool
copy_text(const struct fci_field *field, char *part, struct fci_arena *arena)
{
    const char **text = FCI_INTO(part, field->offset, const char *);

    return !*text || (*text = fci_arena_string(arena, *text));
}

const struct fci_field_type fci_text_field = {
    .at = sizeof(const char *),
    .read = read_text,
    .check = check_text,
    .write = write_text,
    .copy = copy_text,
};

const struct fci_field_type fci_name_field = {
    .at = sizeof(const char *),
    .needed = "a name",
    .read = read_text,
    .check = check_text,
    .write = write_text,
    .copy = copy_text,
};

/* ---- Yes or no -------------------------------------------------------- */

static fc_status
read_yes_no(struct fci_value *v, char *part)
{
    fc_answer *answer = FCI_INTO(part, v->field->offset, fc_answer);

    if (fci_means("choices", v->text, "yes"))
        *answer = FC_YES;
    else if (fci_means("choices", v->text, "no"))
        *answer = FC_NO;
    else
        return fci_value_wrong(v, v->text, "yes or no is expected");
    return FC_OK;
}

static void
check_yes_no(struct fci_value *v, const char *data)
{
    if (!FCI_IS_ENUM(*FCI_AT(data, v->field->offset, fc_answer), FC_NO))
        fci_value_fail(v, "is not a value of its enum; yes or no is expected");
}

static void
write_yes_no(struct fci_value *v, const char *data)
{
    const fc_answer answer = *FCI_AT(data, v->field->offset, fc_answer);

    if (answer != FC_NOT_SAID)
        fci_put(v, answer == FC_YES ? "yes" : "no");
}

const struct fci_field_type fci_yes_no_field = {
    .at = sizeof(fc_answer),
    .read = read_yes_no,
    .check = check_yes_no,
    .write = write_yes_no,
};

/* ---- One of a few words ----------------------------------------------- */

void
fci_list_choices(const struct fci_field *field, char *text, size_t size)
{
    const char *const *choices = field->choices;
    size_t i, used = 0;

    for (i = 0; choices[i] && used < size; i++)
        used += (size_t)snprintf(text + used, size - used, "%s%s",
                                 i == 0           ? ""
                                 : choices[i + 1] ? ", "
                                                  : " or ",
                                 choices[i]);
}

static const char *
choice_at(const void *of, size_t i)
{
    return ((const char *const *)of)[i];
}

size_t
fci_find_choice(const struct fci_field *field, const char *word)
{
    struct fci_book book = { "choices", field->choices, 0, choice_at, NULL };

    while (field->choices[book.n])
        book.n++;
    return fci_book_find(&book, word);
}

/* Choices count up from the value the enum gives its first word, which is 1
 * where 0 means "not given". */
static fc_status
read_choice(struct fci_value *v, char *part)
{
    const size_t choice = fci_find_choice(v->field, v->text);
    char expected[128], words[100];

    if (choice != FCI_NO_NAME) {
        *FCI_INTO(part, v->field->offset, int) =
            (int)choice + (int)v->field->second;
        return FC_OK;
    }
    fci_list_choices(v->field, words, sizeof words);
    snprintf(expected, sizeof expected, "%s is expected", words);
    return fci_value_wrong(v, v->text, expected);
}

static void
check_choice(struct fci_value *v, const char *data)
{
    const int choice = *FCI_AT(data, v->field->offset, int);
    size_t end = v->field->second, i;

    for (i = 0; v->field->choices[i]; i++)
        end++;
    if (choice < 0 || (size_t)choice >= end
        || (choice > 0 && (size_t)choice < v->field->second))
        fci_value_fail(
            v, "is not a value of its enum; one of its words is expected");
    else if (v->field->required && choice == 0 && v->field->second > 0
             && !v->where.section)
        fci_value_fail(v, "is not given; one of its words is expected");
}

/* The first word of most is what stands where none is given. */
static void
write_choice(struct fci_value *v, const char *data)
{
    const int choice = *FCI_AT(data, v->field->offset, int);

    if (choice > 0)
        fci_put(v, "%s", v->field->choices[(size_t)choice - v->field->second]);
}

const struct fci_field_type fci_choice_field = {
    .at = sizeof(int),
    .read = read_choice,
    .check = check_choice,
    .write = write_choice,
};

/* ---- A choice that the heading makes ---------------------------------- */

/* NULL: the kind of such a section is none of a few words. */
static const struct fci_field *
kind_field(const struct fci_field *fields, size_t n)
{
    size_t i;

    for (i = 0; i < n; i++)
        if (strcmp(fields[i].key, "kind") == 0
            && fields[i].type == &fci_choice_field)
            return &fields[i];
    return NULL;
}

const char *
fci_fields_headed(const struct fci_field *fields, size_t n,
                  const char *heading)
{
    const struct fci_field *field = kind_field(fields, n);
    const size_t choice =
        field ? fci_find_choice(field, heading) : FCI_NO_NAME;

    return choice == FCI_NO_NAME ? NULL : field->choices[choice];
}

fc_status
fci_fields_head(const struct fci_field *fields, size_t n,
                struct fci_section *section, const char *path,
                struct fci_arena *arena, fc_diagnostics *messages)
{
    const char *headed = fci_fields_headed(fields, n, section->kind);
    const struct fci_entry *given = fci_section_entry(section, "kind");
    struct fci_entry *entries;
    const char *said;

    if (!headed)
        return FC_OK;
    said = given ? fci_fields_headed(fields, n, given->value) : NULL;
    if (said && strcmp(said, headed) != 0)
        return fci_fail(messages, FC_EINPUT, path, given->line,
                        "%s %s \"%.60s\" contradicts the heading, which says "
                        "\"%s\"; one of the two is expected",
                        fci_heading(section->kind, section->name).text,
                        fci_entry_key(given), given->value, headed);
    if (given)
        return FC_OK;
    entries = fci_arena_array(arena, section->n_entries + 1, sizeof *entries);
    if (!entries)
        return FC_ENOMEM;
    if (section->n_entries > 0)
        memcpy(entries, section->entries,
               section->n_entries * sizeof *entries);
    entries[section->n_entries++] = (struct fci_entry){
        .key = "kind", .value = headed, .line = section->line, .headed = true
    };
    section->entries = entries;
    return FC_OK;
}

/* ---- A choice whose first word is not what stands where none is given - */

/* The row as that of a choice whose first word is 0. */
static struct fci_field
from_zero(const struct fci_field *field)
{
    struct fci_field plain = *field;

    plain.second = 0;
    return plain;
}

static fc_status
read_said_choice(struct fci_value *v, char *part)
{
    const struct fci_field *field = v->field, plain = from_zero(field);
    fc_status status;

    v->field = &plain;
    status = read_choice(v, part);
    v->field = field;
    *FCI_INTO(part, field->second, bool) = status == FC_OK;
    return status;
}

static void
check_said_choice(struct fci_value *v, const char *data)
{
    const struct fci_field *field = v->field, plain = from_zero(field);

    v->field = &plain;
    check_choice(v, data);
    v->field = field;
}

static void
write_said_choice(struct fci_value *v, const char *data)
{
    const int choice = *FCI_AT(data, v->field->offset, int);

    if (choice > 0 || *FCI_AT(data, v->field->second, bool))
        fci_put(v, "%s", v->field->choices[choice]);
}

const struct fci_field_type fci_said_choice_field = {
    .at = sizeof(int),
    .second = sizeof(bool),
    .read = read_said_choice,
    .check = check_said_choice,
    .write = write_said_choice,
};

/* ---- A key that the caller reads by itself ---------------------------- */

const struct fci_field_type fci_skip_field = { 0 };
