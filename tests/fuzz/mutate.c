/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/fuzz/mutate.c -- inputs changed by what they are made of: sections,
 * keys of the program's own lists, and values with their figures, ranges and
 * units.
 *
 * Most changes leave a file that is read: a fuzzer that breaks every input
 * tries the reader alone.
 */
#include "fuzz/fuzz.h"
#include "site/parts.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MOST_LINES 1200
#define MOST_DONORS 400
#define MOST_ENTRIES 20000
#define ROOM 65536
#define LONGEST 400 /* of a line that is made */

struct piece {
    const char *text;
    size_t n;
};

static bool
is(struct piece piece, const char *word)
{
    return piece.n == strlen(word) && memcmp(piece.text, word, piece.n) == 0;
}

static struct piece
trimmed(const char *text, const char *end)
{
    while (text < end && isspace((unsigned char)*text))
        text++;
    while (text < end && isspace((unsigned char)end[-1]))
        end--;
    return (struct piece){ text, (size_t)(end - text) };
}

/* ---- What is drawn ----------------------------------------------------- */

/* Multiplier and increment of Knuth's MMIX generator. */
static unsigned
draw(unsigned long long *state, size_t below)
{
    *state = *state * 6364136223846793005ull + 1442695040888963407ull;
    return below ? (unsigned)((*state >> 33) % below) : 0;
}

/* ---- Donors ------------------------------------------------------------ */

/* A line "key = value" of one. */
struct entry {
    struct piece key, value;
};

static struct piece donors[MOST_DONORS];
static size_t n_donors;
static struct entry entries[MOST_ENTRIES];
static size_t n_entries;
static bool sorted;

static int
by_key(const void *a, const void *b)
{
    const struct piece x = ((const struct entry *)a)->key;
    const struct piece y = ((const struct entry *)b)->key;
    const int order = memcmp(x.text, y.text, x.n < y.n ? x.n : y.n);

    return order ? order : (x.n > y.n) - (x.n < y.n);
}

/* The same order whatever the sort does with equal keys. */
static int
by_entry(const void *a, const void *b)
{
    const int order = by_key(a, b);
    const struct piece x = ((const struct entry *)a)->value;
    const struct piece y = ((const struct entry *)b)->value;
    const int values =
        order ? order : memcmp(x.text, y.text, x.n < y.n ? x.n : y.n);

    return values ? values : (x.n > y.n) - (x.n < y.n);
}

static bool
parse(struct piece line, struct entry *entry)
{
    const char *end = line.text + line.n;
    const char *equals = memchr(line.text, '=', line.n);

    if (!equals || *line.text == '[' || *line.text == ';')
        return false;
    entry->key = trimmed(line.text, equals);
    entry->value = trimmed(equals + 1, end);
    return entry->key.n > 0 && entry->value.n > 0;
}

void
fuzz_donor(const char *text, size_t length)
{
    const char *end = text + length;

    if (n_donors == MOST_DONORS)
        return;
    donors[n_donors++] = (struct piece){ text, length };
    while (text < end && n_entries < MOST_ENTRIES) {
        const char *stop = memchr(text, '\n', (size_t)(end - text));
        const char *last = stop ? stop : end;

        if (parse((struct piece){ text, (size_t)(last - text) },
                  &entries[n_entries]))
            n_entries++;
        text = last + 1;
    }
    sorted = false;
}

void
fuzz_no_donors(void)
{
    n_donors = n_entries = 0;
}

/* A value that some donor has for the key; n is 0 where none has. */
static struct piece
donated(struct piece key, unsigned long long *state)
{
    struct entry wanted = { key, { "", 0 } }, *found;
    size_t first, last;

    if (!sorted)
        qsort(entries, n_entries, sizeof *entries, by_entry);
    sorted = true;
    found = bsearch(&wanted, entries, n_entries, sizeof *entries, by_key);
    if (!found)
        return wanted.value;
    first = last = (size_t)(found - entries);
    while (first > 0 && by_key(&entries[first - 1], &wanted) == 0)
        first--;
    while (last + 1 < n_entries && by_key(&entries[last + 1], &wanted) == 0)
        last++;
    return entries[first + draw(state, last - first + 1)].value;
}

/* ---- An input as lines ------------------------------------------------- */

struct page {
    struct piece lines[MOST_LINES];
    size_t n;
    char room[ROOM]; /* of the lines that are made */
    size_t used;
    unsigned long long state;
};

static void
split(struct page *page, const char *text, size_t size)
{
    const char *end = text + size;

    page->n = page->used = 0;
    while (text < end && page->n < MOST_LINES) {
        const char *stop = memchr(text, '\n', (size_t)(end - text));
        const char *last = stop ? stop : end;

        page->lines[page->n++] = (struct piece){ text, (size_t)(last - text) };
        text = last + 1;
    }
}

static size_t
join(const struct page *page, char *text, size_t most)
{
    size_t used = 0;

    for (size_t i = 0; i < page->n; i++) {
        const struct piece line = page->lines[i];

        if (used + line.n + 1 > most)
            break;
        memcpy(text + used, line.text, line.n);
        used += line.n;
        text[used++] = '\n';
    }
    return used;
}

/* A copy of what was made; nothing where there is no more room. */
static struct piece
keep(struct page *page, const char *text, size_t n)
{
    char *at = page->room + page->used;

    if (page->used + n > ROOM)
        return (struct piece){ "", 0 };
    memcpy(at, text, n);
    page->used += n;
    return (struct piece){ at, n };
}

static void
insert(struct page *page, size_t at, struct piece line)
{
    if (page->n == MOST_LINES)
        return;
    memmove(&page->lines[at + 1], &page->lines[at],
            (page->n - at) * sizeof *page->lines);
    page->lines[at] = line;
    page->n++;
}

static void
take_out(struct page *page, size_t at, size_t n)
{
    memmove(&page->lines[at], &page->lines[at + n],
            (page->n - at - n) * sizeof *page->lines);
    page->n -= n;
}

static bool
is_mark(struct piece line)
{
    return line.n > 2 && line.text[0] == ';' && line.text[1] == ';';
}

static bool
is_heading(struct piece line)
{
    return line.n > 2 && line.text[0] == '[';
}

/* The lines of the block, or of the site (""); where there is no such block it
 * is begun. */
static void
find_block(struct page *page, const char *block, size_t *first, size_t *last)
{
    size_t i = 0;

    if (*block) {
        while (i < page->n
               && !(is_mark(page->lines[i])
                    && is((struct piece){ page->lines[i].text + 2,
                                          page->lines[i].n - 2 },
                          block)))
            i++;
        if (i == page->n) {
            char mark[40];

            insert(page, i,
                   keep(page, mark,
                        (size_t)snprintf(mark, sizeof mark, ";;%s", block)));
        }
        i = i < page->n ? i + 1 : i;
    }
    *first = i;
    while (i < page->n && !is_mark(page->lines[i]))
        i++;
    *last = i;
}

/* ---- Sections ---------------------------------------------------------- */

/* The heading over a line; SIZE_MAX: it is in none. */
static size_t
heading_of(const struct page *page, size_t line)
{
    for (size_t i = line + 1; i-- > 0;) {
        if (is_mark(page->lines[i]))
            return SIZE_MAX;
        if (is_heading(page->lines[i]))
            return i;
    }
    return SIZE_MAX;
}

static size_t
section_end(const struct page *page, size_t heading)
{
    size_t i = heading + 1;

    while (i < page->n && !is_heading(page->lines[i])
           && !is_mark(page->lines[i]))
        i++;
    return i;
}

/* What kind "[pressure tank x]" is, and where its name stands. */
static const struct fci_part_kind *
kind_of(struct piece heading, struct piece *name)
{
    const struct fci_part_kind *found = NULL;
    size_t longest = 0;

    for (int kind = 0; kind < FCI_KINDS; kind++) {
        const char *word = fci_part_kinds[kind].word;
        const size_t n = strlen(word);

        if (n <= longest || heading.n < n + 2
            || memcmp(heading.text + 1, word, n) != 0
            || (heading.text[n + 1] != ' ' && heading.text[n + 1] != ']'))
            continue;
        found = &fci_part_kinds[kind];
        longest = n;
    }
    if (name)
        *name =
            trimmed(heading.text + 1 + longest, heading.text + heading.n - 1);
    return found;
}

/* A heading at random; SIZE_MAX: there is none. */
static size_t
any_heading(struct page *page)
{
    for (int tries = 0; page->n > 0 && tries < 8; tries++) {
        const size_t i = heading_of(page, draw(&page->state, page->n));

        if (i != SIZE_MAX)
            return i;
    }
    return SIZE_MAX;
}

/* The name of a part at random, as another part would call it. */
static struct piece
any_name(struct page *page)
{
    const size_t i = any_heading(page);
    struct piece name = { "main", 4 };

    if (i != SIZE_MAX)
        kind_of(page->lines[i], &name);
    return name;
}

/* ---- Values ------------------------------------------------------------ */

/* Words, figures and units that make trouble, or nearly. */
static const char *const odd_values[] = {
    "",
    "0",
    "-1",
    "1e9",
    "1e-9",
    "1e308",
    "nan",
    "inf",
    "0 psi",
    "-5 psi",
    "0..0 psi",
    "5..4 ft",
    "1000000",
    "2147483648",
    "1..2..3",
    "1/0 in",
    "3/4 in",
    "none",
    "choose",
    "yes",
    "no",
    "*",
    "\"",
    "\"; \"",
    "{floor}",
    "\xc3\xa9",
    "\xff",
    "50%",
    "0.5 .. 99.5 %",
    "12 ft 6 in",
    "DN50",
    "100 gal in 3 s",
    "5 psi at 20 gpm, 9 psi at 40 gpm",
    "20 gpm 5 psi, 40 gpm 9 psi",
};

static const char *const units[] = { "psi",  "kPa", "ft", "in", "gpm", "L/s",
                                     "m",    "mm",  "L",  "s",  "gal", "min",
                                     "degF", "bar", "%",  "h",  "ft/s" };

#define ANY(list, state) list[draw(state, sizeof list / sizeof *list)]

static const double scales[] = { 0,   1e-6, 0.01, 0.1, 0.5, 0.8, 0.95,
                                 1.0, 1.05, 1.25, 2,   3,   10,  1e4 };

/* Where a figure begins in a text; its end where there is none. */
static size_t
find_figure(struct piece value, unsigned long long *state)
{
    const size_t from = draw(state, value.n);

    for (size_t k = 0; k < value.n; k++) {
        const size_t i = (from + k) % value.n;

        if (isdigit((unsigned char)value.text[i])
            && (i == 0 || !isalnum((unsigned char)value.text[i - 1])))
            return i;
    }
    return value.n;
}

/* A figure of the value scaled, or made a range. */
static struct piece
scaled(struct page *page, struct piece value)
{
    const size_t at = value.n > 0 ? find_figure(value, &page->state) : 0;
    char figure[32] = "", text[LONGEST];
    size_t end = at;
    double x;
    int n;

    if (at >= value.n || value.n > LONGEST / 2)
        return value;
    while (end < value.n && end - at + 1 < sizeof figure
           && (isdigit((unsigned char)value.text[end])
               || value.text[end] == '.')) {
        if (value.text[end] == '.' && end + 1 < value.n
            && value.text[end + 1] == '.')
            break;
        figure[end - at] = value.text[end];
        end++;
    }
    /* mild ones in the middle of the list mostly */
    x = strtod(figure, NULL)
        * (draw(&page->state, 4) ? scales[4 + draw(&page->state, 8)]
                                 : ANY(scales, &page->state));
    n = draw(&page->state, 4) == 0
            ? snprintf(text, sizeof text, "%.*s%s..%.4g%.*s", (int)at,
                       value.text, figure, x, (int)(value.n - end),
                       value.text + end)
            : snprintf(text, sizeof text, "%.*s%.4g%.*s", (int)at, value.text,
                       x, (int)(value.n - end), value.text + end);
    return keep(page, text, (size_t)n);
}

/* The last word replaced by another unit. */
static struct piece
in_unit(struct page *page, struct piece value)
{
    char text[LONGEST];
    size_t n = value.n;

    while (n > 0 && !isspace((unsigned char)value.text[n - 1]))
        n--;
    if (n > LONGEST / 2)
        return value;
    n = (size_t)snprintf(text, sizeof text, "%.*s%s", (int)n, value.text,
                         ANY(units, &page->state));
    return keep(page, text, n);
}

static struct piece
word(const char *text)
{
    return (struct piece){ text, strlen(text) };
}

/* As the field's kind has it, whatever the key. */
static struct piece
of_field(struct page *page, const struct fci_field *field)
{
    size_t n = 0;

    if (field->type == &fci_name_field)
        return any_name(page);
    if (field->type == &fci_yes_no_field)
        return word(draw(&page->state, 2) ? "yes" : "no");
    while (field->choices && field->choices[n])
        n++;
    return n > 0 ? word(field->choices[draw(&page->state, n)]) : word("");
}

static struct piece
fresh_value(struct page *page, struct piece key, struct piece old,
            const struct fci_field *field)
{
    struct piece value = old;
    const unsigned how = draw(&page->state, 16);

    if (how == 0)
        return word(ANY(odd_values, &page->state));
    if (how == 1)
        return in_unit(page, old);
    if (how < 5 && field)
        value = of_field(page, field);
    if (how < 10 && value.n == 0)
        value = donated(key, &page->state);
    if (how >= 8 && value.n > 0)
        value = scaled(page, value);
    return value.n > 0 ? value : donated(key, &page->state);
}

static const struct fci_field *
field_of(const struct page *page, size_t line, struct piece key)
{
    const size_t heading = heading_of(page, line);
    const struct fci_part_kind *kind =
        heading != SIZE_MAX ? kind_of(page->lines[heading], NULL) : NULL;

    for (size_t i = 0; kind && i < kind->n_fields; i++)
        if (is(key, kind->fields[i].key))
            return &kind->fields[i];
    return NULL;
}

static struct piece
entry_line(struct page *page, struct piece key, struct piece value)
{
    char text[LONGEST];

    if (key.n + value.n + 4 > LONGEST)
        return (struct piece){ "", 0 };
    return keep(page, text,
                (size_t)snprintf(text, sizeof text, "%.*s = %.*s", (int)key.n,
                                 key.text, (int)value.n, value.text));
}

/* ---- Lines of other blocks --------------------------------------------- */

/* "street.static = 69 psi", of a part and a key that it has, or may have. */
static struct piece
setting_line(struct page *page)
{
    const size_t heading = any_heading(page);
    const struct fci_part_kind *kind;
    struct piece name, value;
    const char *key = "count";
    char text[LONGEST];
    int n;

    if (heading == SIZE_MAX)
        return word("");
    kind = kind_of(page->lines[heading], &name);
    if (draw(&page->state, 24) == 0)
        return entry_line(page, word("without"), name);
    if (kind && kind->n_fields > 0)
        key = kind->fields[draw(&page->state, kind->n_fields)].key;
    value =
        fresh_value(page, word(key), donated(word(key), &page->state), NULL);
    if (name.n + value.n + 80 > LONGEST)
        return word("");
    n = kind && (kind->element || strcmp(kind->word, "fixture") == 0)
            ? snprintf(text, sizeof text, "%.*s", (int)name.n, name.text)
            : snprintf(text, sizeof text, "%s%s%.*s", kind ? kind->word : "",
                       name.n > 0 ? " " : "", (int)name.n, name.text);
    n += snprintf(text + n, sizeof text - (size_t)n, ".%s = %.*s", key,
                  (int)value.n, value.text);
    return keep(page, text, (size_t)n);
}

/* "main=52" of one of the keys: with the example that it is asked with. */
static struct piece
answer_line(struct page *page, const char *key, const char *may_be)
{
    const char *such = strstr(may_be, "such as ");
    struct piece value = donated(word(key), &page->state);
    char text[LONGEST];
    int n;

    if (value.n == 0 || draw(&page->state, 3) == 0)
        value = word(such ? such + strlen("such as ") : "yes");
    if (draw(&page->state, 3) > 0)
        value = scaled(page, value);
    if (draw(&page->state, 30) == 0)
        value = word(ANY(odd_values, &page->state));
    n = snprintf(text, sizeof text, "%s=%.*s", key, (int)value.n, value.text);
    return keep(page, text, (size_t)n);
}

static struct piece
quick_line(struct page *page)
{
    const fc_quick_key *keys;
    const fc_quick_key *key = NULL;
    const size_t n = fc_quick_keys(&keys);

    key = &keys[draw(&page->state, n)];
    return answer_line(page, key->key, key->may_be);
}

static struct piece
starter_line(struct page *page)
{
    const fc_starter_key *keys;
    const fc_starter_key *key = NULL;
    const size_t n = fc_starter_keys(&keys);

    key = &keys[draw(&page->state, n)];
    return answer_line(page, key->key, key->may_be);
}

/* A part, a member of its struct, and what is done to that. */
static struct piece
calls_line(struct page *page)
{
    char text[40];
    const int n =
        snprintf(text, sizeof text, "%u %u %u", draw(&page->state, 40),
                 draw(&page->state, 30), draw(&page->state, 12));

    return keep(page, text, (size_t)n);
}

static const struct {
    const char *block;
    struct piece (*line)(struct page *page);
} makers[] = {
    { "set", setting_line }, { "change", setting_line },
    { "quick", quick_line }, { "starter", starter_line },
    { "calls", calls_line },
};

/* ---- What may be done to an input -------------------------------------- */

static void
other_value(struct page *page, size_t first, size_t last)
{
    struct entry entry;

    for (int tries = 0; tries < 8 && last > first; tries++) {
        const size_t i = first + draw(&page->state, last - first);

        if (!parse(page->lines[i], &entry))
            continue;
        page->lines[i] = entry_line(page, entry.key,
                                    fresh_value(page, entry.key, entry.value,
                                                field_of(page, i, entry.key)));
        return;
    }
}

static void
more_keys(struct page *page, size_t first, size_t last)
{
    const size_t line = first + draw(&page->state, last - first);
    const size_t heading = last > first ? heading_of(page, line) : SIZE_MAX;
    const struct fci_part_kind *kind =
        heading != SIZE_MAX ? kind_of(page->lines[heading], NULL) : NULL;
    const struct fci_field *field;
    struct piece key;

    if (!kind || kind->n_fields == 0)
        return;
    field = &kind->fields[draw(&page->state, kind->n_fields)];
    key = word(field->key);
    insert(
        page, heading + 1,
        entry_line(page, key,
                   fresh_value(page, key, donated(key, &page->state), field)));
}

static void
fewer_lines(struct page *page, size_t first, size_t last)
{
    if (last > first)
        take_out(page, first + draw(&page->state, last - first), 1);
}

static void
line_twice(struct page *page, size_t first, size_t last)
{
    const size_t i = first + draw(&page->state, last - first);

    if (last > first)
        insert(page, i, page->lines[i]);
}

static void
swap_lines(struct page *page, size_t first, size_t last)
{
    const size_t n = last - first;
    const size_t a = first + draw(&page->state, n);
    const size_t b = first + draw(&page->state, n);
    struct piece line;

    if (n == 0)
        return;
    line = page->lines[a];
    page->lines[a] = page->lines[b];
    page->lines[b] = line;
}

static void
cut_line(struct page *page, size_t first, size_t last)
{
    struct piece *line =
        &page->lines[first + draw(&page->state, last - first)];

    if (last > first)
        line->n = draw(&page->state, line->n + 1);
}

static void
odd_byte(struct page *page, size_t first, size_t last)
{
    static const char bytes[] = "\0\x01\t\r\x1b\x7f\x80\xff[]=;#\"\\{}*.,-%";
    struct piece *line =
        &page->lines[first + draw(&page->state, last - first)];
    char text[LONGEST];

    if (last == first || line->n == 0 || line->n > LONGEST)
        return;
    memcpy(text, line->text, line->n);
    text[draw(&page->state, line->n)] = ANY(bytes, &page->state);
    *line = keep(page, text, line->n);
}

/* A section of the input, or of a donor, once more, perhaps of another name:
 * so a tree grows. */
static void
copy_section(struct page *page, const struct page *from, size_t heading,
             size_t at)
{
    const size_t end = section_end(from, heading);
    struct piece name, line = from->lines[heading];
    const struct fci_part_kind *kind = kind_of(line, &name);
    char text[LONGEST];

    if (kind && kind->named && line.n < LONGEST / 2
        && draw(&page->state, 8) > 0)
        line = keep(page, text,
                    (size_t)snprintf(text, sizeof text, "[%s %.*s%u]",
                                     kind->word, (int)name.n, name.text,
                                     draw(&page->state, 10)));
    insert(page, at++, keep(page, line.text, line.n));
    for (size_t i = heading + 1; i < end; i++)
        insert(page, at++, keep(page, from->lines[i].text, from->lines[i].n));
}

static void
section_twice(struct page *page, size_t first, size_t last)
{
    const size_t heading = any_heading(page);

    (void)first;
    if (heading != SIZE_MAX && heading < last)
        copy_section(page, page, heading, last);
}

static void
foreign_section(struct page *page, size_t first, size_t last)
{
    static struct page other;
    const struct piece *donor;
    size_t heading;

    (void)first;
    if (n_donors == 0)
        return;
    donor = &donors[draw(&page->state, n_donors)];
    split(&other, donor->text, donor->n);
    other.state = page->state;
    heading = any_heading(&other);
    page->state = other.state;
    if (heading != SIZE_MAX)
        copy_section(page, &other, heading, last);
}

static void
no_section(struct page *page, size_t first, size_t last)
{
    const size_t heading = any_heading(page);

    if (heading != SIZE_MAX && heading >= first && heading < last)
        take_out(page, heading, section_end(page, heading) - heading);
}

/* A word of a value, an element above all, becomes the name of another. */
static void
other_name(struct page *page, size_t first, size_t last)
{
    static const char *const keys[] = { "from", "on", "at",   "fixture",
                                        "to",   "of", "gauge" };
    struct entry entry;

    for (size_t i = first; i < last; i++) {
        if (!parse(page->lines[i], &entry) || draw(&page->state, 3))
            continue;
        for (size_t k = 0; k < sizeof keys / sizeof *keys; k++)
            if (is(entry.key, keys[k])) {
                page->lines[i] = entry_line(page, entry.key, any_name(page));
                return;
            }
    }
}

/* "[case low]" of a setting or two. */
static void
case_section(struct page *page, size_t first, size_t last)
{
    char text[20];
    const int n =
        snprintf(text, sizeof text, "[case c%u]", draw(&page->state, 100));

    (void)first;
    insert(page, last, keep(page, text, (size_t)n));
    insert(page, last + 1, setting_line(page));
    if (draw(&page->state, 2))
        insert(page, last + 2, setting_line(page));
}

static void (*const gentle[])(struct page *, size_t, size_t) = {
    other_value,     other_value, other_value, other_value,
    other_value,     other_value, other_name,  section_twice,
    foreign_section, more_keys,   more_keys,
};
static void (*const rough[])(struct page *, size_t,
                             size_t) = { fewer_lines, line_twice, swap_lines,
                                         cut_line,    odd_byte,   no_section,
                                         case_section };

static void
change(struct page *page, const char *block)
{
    size_t first, last;

    for (size_t i = 0; i < sizeof makers / sizeof *makers; i++)
        if (strcmp(makers[i].block, block) == 0
            && draw(&page->state, 3) == 0) {
            const struct piece line = makers[i].line(page);

            find_block(page, block, &first, &last);
            insert(page, last, line);
            return;
        }
    if (strcmp(block, "cases") == 0) {
        find_block(page, "", &first, &last);
        if (draw(&page->state, 3) == 0) {
            case_section(page, first, last);
            return;
        }
    } else
        find_block(page, draw(&page->state, 8) ? block : "", &first, &last);
    if (draw(&page->state, 6))
        ANY(gentle, &page->state)(page, first, last);
    else if (last > first)
        ANY(rough, &page->state)(page, first, last);
}

size_t
fuzz_mutate(uint8_t *data, size_t size, size_t most, const char *block,
            unsigned long long seed)
{
    static struct page page;
    static char text[FUZZ_LARGEST];
    unsigned changes;

    if (size > sizeof text)
        size = sizeof text;
    memcpy(text, data, size);
    split(&page, text, size);
    page.state = seed * 2862933555777941757ull + 3037000493ull;
    draw(&page.state, 1);
    changes = 1 + draw(&page.state, 4);
    while (changes-- > 0)
        change(&page, block);
    return join(&page, (char *)data, most);
}
