/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_synonym_files.c -- every row of the synonyms, in a site
 * file where it may stand: the file says what it says with the word that the
 * row stands for, or is refused with all that the word could be.
 *
 * What the heading of a section says of its kind is what the trade means by it
 * (common practice).
 */
#include "generators/sites.h"
#include "ground/synonyms.h"
#include "site/parts.h"
#include "variants/part_text.h"
#include "site/site.h"

#include <strings.h>

/* Every key that a synonym stands for, with the word that is known. */
static const char *const building[] = {
    "[site]",
    "title = Invented",
    "project number = 7",
    "units = us",
    "code = ipc",
    "material = copper L",
    "condition = new",
    "peak = fixture units",
    "water temperature = 60 degF",
    "[source main]",
    "kind = street main",
    "static = 78 psi",
    "residual = 70 psi",
    "residual flow = 400 gpm",
    "within = 1 psi",
    "elevation = -3 ft",
    "[meter m]",
    "from = main",
    "kind = displacement",
    "size = 2 in",
    "[backflow b]",
    "kind = rp",
    "from = m",
    "loss = 8 psi at 40 gpm",
    "[device f]",
    "from = b",
    "loss = 1 psi at 40 gpm",
    "[prv r]",
    "from = f",
    "set = 75 psi",
    "fall-off = 6 psi at 60 gpm",
    "[pump p]",
    "from = r",
    "curve = 0 gpm 30 ft, 60 gpm 20 ft, 200 gpm 5 ft",
    "hold = 80 psi",
    "minimum suction = 10 psi",
    "[pipe riser-1]",
    "from = p",
    "material = copper L",
    "size = 2 in",
    "length = 40 ft",
    "rise = 12 ft",
    "fittings = 2 elbow 90",
    "velocity limit = 8 ft/s",
    "pressure rating = 150 psi",
    "arrester = C",
    "[pipe riser-{floor}]",
    "floors = 2..3",
    "from = riser-1",
    "size = 2 in",
    "length = 12 ft",
    "c = 120",
    "inside diameter = 1.9 in",
    "[fixture wc]",
    "on = riser-2",
    "kind = water closet, flush valve",
    "count = 3",
    "existing = old",
    "retrofit = sensor",
    "supply size = 1 in",
    "stop = 1 psi",
    "fixture units = 10",
    "[fixture lav]",
    "on = riser-1",
    "kind = lavatory",
    "rate = 0.5 gpm at 20 psi",
    "[valve old]",
    "minimum flowing = 20 psi",
    "maximum flowing = 80 psi",
    "maximum static = 125 psi",
    "flow = 25 gpm at 25 psi",
    "full flush = 1.6 gal",
    "regulated = no",
    "closing time = 2 s",
    "[valve sensor]",
    "full flush = 1.28 gal",
    "reduced flush = 1.0 gal",
    "reduced share = 30 %",
    "[demand d]",
    "on = riser-1",
    "flow = 5 gpm",
    "[heater h]",
    "on = riser-1",
    "serves = lav",
    "[reading one]",
    "at = wc",
    "pressure = 50 psi",
    "flushing = 2 of wc",
    "state = existing",
    "gauge = shop",
    "[reading two]",
    "at = m",
    "dial = turns",
    "[gauge shop]",
    "within = 2 psi",
    "[look stop]",
    "at = wc",
    "shows = open",
    "[look strainer]",
    "at = f",
    "shows = clean",
    "[look dial]",
    "at = m",
    "shows = turns",
    "[claim one]",
    "fixture = wc",
    "flowing = 30 psi",
};

static const char *const tank[] = {
    "[source tank]",
    "kind = tank",
    "water level = 80 ft",
    "elevation = 75 ft",
    "[pipe p]",
    "from = tank",
    "material = steel sch 40",
    "size = 2 in",
    "length = 70 ft",
    "elevation = 8 ft",
    "fittings = 2 elbow 90",
    "[fixture wc]",
    "on = p",
    "kind = water closet, flush valve",
};

static const char *const fixed[] = {
    "[source well]", "kind = fixed", "pressure = 70 psi",
    "[meter m]",     "from = well",  "loss = 2 psi at 40 gpm",
    "[fixture wc]",  "on = m",       "kind = water closet, flush valve",
    "[look dial]",   "at = m",       "shows = still",
};

static const char *const farm[] = {
    "[source well]",      "kind = well",
    "rate = 10 gpm",      "[pressure tank cushion]",
    "from = well",        "volume = 1 m3",
    "cut-in = 40 psi",    "cut-out = 60 psi",
    "precharge = 38 psi", "[fixture wc]",
    "on = cushion",       "kind = water closet, flush valve",
};

#define LINES COUNT(building)

/* A file: its lines, some of them changed. */
struct file {
    const char *line[LINES]; /* NULL: left out */
    char changed[4][160];
    int n, n_changed;
};

static struct file
file_of(const char *const *lines, int n)
{
    struct file file = { .n = n };

    memcpy(file.line, lines, (size_t)n * sizeof *lines);
    return file;
}

static void
put_line(struct file *file, int i, const char *before, const char *word,
         const char *after)
{
    char *line = file->changed[file->n_changed++];

    snprintf(line, sizeof *file->changed, "%s%s%s", before, word, after);
    file->line[i] = line;
}

static char *
text_of(const struct file *file)
{
    static char text[8192];
    size_t used = 0;
    int i;

    for (i = 0; i < file->n; i++)
        if (file->line[i])
            used += (size_t)snprintf(text + used, sizeof text - used, "%s\n",
                                     file->line[i]);
    ck_assert_uint_lt(used, sizeof text);
    return text;
}

/* ---- What a file says -------------------------------------------------- */

/* NULL: it is refused, and *why is the first message. */
static fc_site *
read_file(const struct file *file, char *why, size_t size)
{
    fc_diagnostics *messages = fc_diagnostics_new();
    const char *text = text_of(file);
    fc_site *site = NULL;

    if (fc_site_read_text(text, strlen(text), "test.ini", &site, messages)
        != FC_OK)
        snprintf(why, size, "%s", fc_diagnostics_at(messages, 0).text);
    fc_diagnostics_free(messages);
    return site;
}

/* Every part, as a file has it in the words that are known. */
static void
put_parts(const fc_site *site, FILE *out)
{
    struct fci_arena arena = { 0 };
    size_t i, k;

    for (i = 0; i < site->n_parts; i++) {
        const struct fci_part *part = &site->parts[i];
        struct fci_section *section;

        ck_assert_int_eq(
            fci_part_section(part, part->data, FC_US, &arena, &section, NULL),
            FC_OK);
        fprintf(out, "[%s %s]\n", section->kind, section->name);
        for (k = 0; k < section->n_entries; k++)
            fprintf(out, "%s = %s\n", section->entries[k].key,
                    section->entries[k].value);
    }
    fci_arena_free(&arena);
}

/* The report as JSON, a line each without the comma behind it; not which file
 * it was, nor what a word takes for granted. */
static void
put_report(const fc_site *site, FILE *out)
{
    const fc_check_options options = { .peak_only = true };
    fc_check_result *result = NULL;
    fc_report *report = NULL;
    char *text = NULL, *line, *rest;

    ck_assert_int_eq(fc_check_with(site, &options, &result, NULL), FC_OK);
    ck_assert_int_eq(fc_report_check(site, result, NULL, &report), FC_OK);
    ck_assert_int_eq(fc_report_write(report, FC_JSON, NULL, &text, NULL, NULL),
                     FC_OK);
    for (rest = text; (line = strtok_r(rest, "\n", &rest)) != NULL;) {
        const size_t n = strlen(line);

        if (!strstr(line, "\"digest\":") && !strstr(line, "is read as"))
            fprintf(out, "%.*s\n", (int)(n - (n > 0 && line[n - 1] == ',')),
                    line);
    }
    fc_free(text);
    fc_report_free(report);
    fc_check_result_free(result);
}

/* `named`: a name is kept as it was written, so that the report tells what it
 * was read as.  Else the parts do; what has the same has the same report. */
static char *
said_by(const fc_site *site, bool named)
{
    char *said = NULL;
    size_t size;
    FILE *out = open_memstream(&said, &size);

    ck_assert_ptr_nonnull(out);
    if (named)
        put_report(site, out);
    else
        put_parts(site, out);
    ck_assert_int_eq(fclose(out), 0);
    return said;
}

/* What is said with the words that are known, kept for the next word that
 * stands for the same; NULL: it is no site file. */
static const char *
said_by_known(const struct file *known, bool named)
{
    static struct kept {
        char *text, *said;
        bool named;
    } kept[1024];
    static size_t next;
    const char *text = text_of(known);
    struct kept *k = kept;
    char why[1024];
    fc_site *site;

    for (; k < kept + COUNT(kept) && k->text; k++)
        if (k->named == named && strcmp(k->text, text) == 0)
            return k->said;
    k = &kept[next++ % COUNT(kept)];
    free(k->text);
    free(k->said);
    k->text = strdup(text);
    ck_assert_ptr_nonnull(k->text);
    k->named = named;
    site = read_file(known, why, sizeof why);
    k->said = site ? said_by(site, named) : NULL;
    fc_site_free(site);
    return k->said;
}

/* Both say the same, or the one with the word is refused since it could mean
 * several.  False: the other is no site file. */
static bool
same(const struct file *known, const struct file *word, bool named)
{
    const char *first = said_by_known(known, named);
    char why[1024];
    fc_site *b;
    char *second;
    size_t n;

    if (!first)
        return false;
    b = read_file(word, why, sizeof why);
    if (!b) {
        ck_assert_msg(strstr(why, "could be"), "%s\n%s", why, text_of(word));
        return true;
    }
    second = said_by(b, named);
    for (n = 0; first[n] && first[n] == second[n];)
        n++;
    ck_assert_msg(first[n] == second[n], "%.200s\n----\n%.200s\nof\n%s",
                  first + (n < 60 ? 0 : n - 60),
                  second + (n < 60 ? 0 : n - 60), text_of(word));
    free(second);
    fc_site_free(b);
    return true;
}

/* ---- Where a word may stand -------------------------------------------- */

static struct {
    const char *key, *value;
    enum fci_kind kind;
} at;

/* What a line is, where it is that of a key; in `at`. */
static bool
is_entry(const char *const *lines, int i)
{
    static char key[80], word[80];
    const char *equals = strstr(lines[i], " = ");
    int head = i;

    if (!equals)
        return false;
    snprintf(key, sizeof key, "%.*s", (int)(equals - lines[i]), lines[i]);
    while (*lines[head] != '[')
        head--;
    snprintf(word, sizeof word, "%.*s", (int)strcspn(lines[head] + 1, " ]"),
             lines[head] + 1);
    at.key = key;
    at.value = equals + 3;
    at.kind = fci_part_kind_of(word);
    if (at.kind == FCI_KINDS) /* of two words */
        at.kind = fci_part_kind_of("pressure tank");
    ck_assert_int_lt(at.kind, FCI_KINDS);
    return true;
}

/* Whether the value of the line is to be one of the list's names. */
static bool
takes(const char *list)
{
    const struct fci_part_kind *kind = &fci_part_kinds[at.kind];
    size_t i;

    if (strcmp(list, "materials") == 0)
        return strcmp(at.key, "material") == 0;
    if (strcmp(list, "fittings") == 0)
        return strcmp(at.key, "fittings") == 0;
    if (strcmp(list, "fixtures") == 0 || strcmp(list, "meters") == 0)
        return strcmp(at.key, "kind") == 0
               && at.kind == (*list == 'f' ? FCI_FIXTURE : FCI_METER);
    if (strcmp(list, "sizes") == 0)
        return strcmp(at.key, "size") == 0 && at.kind != FCI_METER;
    for (i = 0; i < kind->n_fields; i++)
        if (strcmp(kind->fields[i].key, at.key) == 0)
            return strcmp(list, "choices") == 0
                       ? kind->fields[i].choices
                             || kind->fields[i].type == &fci_yes_no_field
                       : kind->fields[i].type != &fci_text_field
                             && *at.value >= '0' && *at.value <= '9'
                             && !strstr(at.value, ", ");
    return false;
}

/* The line with a value that holds the word. */
static void
put_value(struct file *file, int i, const char *list, const char *word)
{
    char before[100];
    const bool figure =
        strcmp(list, "units") == 0 || strcmp(list, "fractions") == 0;

    if (strcmp(list, "fittings") == 0)
        snprintf(before, sizeof before, "%s = 3 ", at.key);
    else if (figure)
        snprintf(before, sizeof before, "%s = %d", at.key, atoi(at.value));
    else
        snprintf(before, sizeof before, "%s = ", at.key);
    if (strcmp(list, "units") == 0 && !strchr("'\"#", word[0]))
        strcat(before, " ");
    if (strcmp(list, "fractions") == 0 && word[0] >= '0' && word[0] <= '9')
        strcat(before, " ");
    put_line(file, i, before, word, strcmp(list, "fractions") ? "" : " ft");
}

/* The rest of the file so that the value fits: a size that the material is
 * made in, the code that knows the fixture. */
static const char *const neighbors[][2] = {
    { "", "" },
    { "size = 2 in", "size = DN50" },
    { "size = 2 in", "size = 54 mm" },
    { "size = 2 in", "size = 4 in" },
    { "size = 2 in", "size = 3 in" },
    { "code = ipc", "code = upc" },
    { "material = copper L", "material = steel sch 40" },
    { "material = steel sch 40", "material = copper L" },
    { "material = steel sch 40", "material = pvc sch 40" },
    { "material = steel sch 40", "material = cpvc sdr 11" },
    { "material = steel sch 40", "material = pex sdr 9" },
};

static bool
same_value(const char *const *lines, int n, int i, const struct fci_synonym *s)
{
    const bool named =
        strcmp(s->list, "materials") == 0 || strcmp(s->list, "fittings") == 0
        || strcmp(s->list, "fixtures") == 0 || strcmp(s->list, "meters") == 0;
    /* a choice or a unit does not hang on the rest of the file */
    const int tried =
        strcmp(s->list, "choices") == 0 || strcmp(s->list, "units") == 0
            ? 1
            : COUNT(neighbors);
    int k, j;

    for (k = 0; k < tried; k++) {
        struct file known = file_of(lines, n), word;
        bool other = k == 0;

        for (j = 0; j < n; j++)
            if (j != i && strcmp(lines[j], neighbors[k][0]) == 0) {
                known.line[j] = neighbors[k][1];
                other = true;
            }
        if (!other)
            continue;
        word = known;
        put_value(&known, i, s->list, s->means);
        put_value(&word, i, s->list, s->word);
        if (same(&known, &word, named))
            return true;
    }
    return false;
}

static bool
same_key(const char *const *lines, int n, int i, const struct fci_synonym *s)
{
    struct file known = file_of(lines, n), word = known;

    put_line(&word, i, s->word, " = ", at.value);
    return same(&known, &word, false);
}

/* What a heading says beside what the section is. */
static const struct {
    const char *kind, *words[12];
} headed[] = {
    { "rp",
      { "rpz", "rp", "rpz assembly", "rp assembly", "rpba",
        "reduced pressure zone" } },
    { "double check",
      { "double check", "double check valve", "double check valve assembly",
        "double check assembly", "dcva", "dc" } },
    { "street main",
      { "street", "street main", "city main", "water main", "public main" } },
    { "tank", { "roof tank", "gravity tank", "house tank" } },
    { "well", { "well", "water well" } },
};

static const char *
kind_of_heading(const char *word)
{
    int i, k;

    for (i = 0; i < COUNT(headed); i++)
        for (k = 0; k < COUNT(headed->words) && headed[i].words[k]; k++)
            if (strcmp(headed[i].words[k], word) == 0)
                return headed[i].kind;
    return NULL;
}

static bool
same_heading(const char *const *lines, int n, int i,
             const struct fci_synonym *s)
{
    const char *kind = kind_of_heading(s->word);
    const char *name = lines[i] + 1 + strlen(s->means);
    struct file known = file_of(lines, n), word = known;
    const bool own = kind && strncmp(lines[i + 1], "kind", 4) == 0;

    put_line(&word, i, "[", s->word, name);
    if (own) { /* the heading tells it alone */
        put_line(&known, i + 1, "kind = ", kind, "");
        word.line[i + 1] = NULL;
    }
    return same(&known, &word, false);
}

/* Whether the list has words of which each may stand in several places. */
static bool
is_of_places(const char *list)
{
    return strcmp(list, "keys") == 0 || strcmp(list, "choices") == 0
           || strcmp(list, "sections") == 0;
}

/* The heading or the key that the row stands for, or a value of its list. */
static bool
stands_at(const char *const *lines, int n, int i, const struct fci_synonym *s)
{
    const size_t length = strlen(s->means);

    if (strcmp(s->list, "sections") == 0)
        return *lines[i] == '[' && strncmp(lines[i] + 1, s->means, length) == 0
               && strchr(" ]", lines[i][length + 1])
               && same_heading(lines, n, i, s);
    if (!is_entry(lines, i))
        return false;
    if (strcmp(s->list, "keys") == 0)
        return strcmp(at.key, s->means) == 0 && same_key(lines, n, i, s);
    return takes(s->list) && same_value(lines, n, i, s);
}

static bool
stands(const char *const *lines, int n, const struct fci_synonym *s)
{
    bool stood = false;
    int i;

    for (i = 0; i < n && (!stood || is_of_places(s->list)); i++)
        stood |= stands_at(lines, n, i, s);
    return stood;
}

START_TEST(every_row_in_a_file)
{
    const struct fci_synonym *s = &fci_synonyms[_i];
    /* no material of the built-in tables has such fittings */
    bool stood = strcmp(s->means, "elbow 90 long") == 0
                 || strcmp(s->means, "compression stop") == 0
                 || strcmp(s->list, "inexact") == 0
                 || stands(tank, COUNT(tank), s);

    if (!stood || is_of_places(s->list))
        stood |= stands(fixed, COUNT(fixed), s);
    if (!stood || is_of_places(s->list))
        stood |= stands(farm, COUNT(farm), s);
    if (!stood || is_of_places(s->list))
        stood |= stands(building, COUNT(building), s);
    ck_assert_msg(stood, "%s: \"%s\", which stands for \"%s\", is in no file",
                  s->list, s->word, s->means);
}
END_TEST

/* A figure that is a guess is none. */
START_TEST(every_guess)
{
    size_t n, i;
    const struct fci_synonym *s = fci_synonyms_of("inexact", &n);
    char why[1024];

    ck_assert_uint_gt(n, 20);
    for (i = 0; i < n; i++) {
        struct file file = file_of(tank, COUNT(tank));

        put_line(&file, 8, "length = ", s[i].word, " 70 ft");
        ck_assert_ptr_null(read_file(&file, why, sizeof why));
        ck_assert_msg(strncmp(why, "[pipe p] length ", 16) == 0, "%s", why);
    }
}
END_TEST

int
main(void)
{
    Suite *s = suite_create("synonym files");
    TCase *t = tcase_create("rows");

    tcase_add_loop_test(t, every_row_in_a_file, 0, (int)fci_n_synonyms);
    tcase_add_test(t, every_guess);
    tcase_set_timeout(t, 60);
    suite_add_tcase(s, t);
    return run_suite_unforked(s);
}
