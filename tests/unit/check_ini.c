/* SPDX-License-Identifier: GPL-3.0-or-later */
/* tests/unit/check_ini.c -- the reader of INI files: what survives, what is
 * said.
 *
 * What is expected follows from the rules in flushcalc-site(5) and
 * lib/ini/ini.h.
 */
#define _GNU_SOURCE /* RTLD_NEXT */
#include "ground/diagnostics.h"
#include "ini/ini.h"
#include "unit/suite.h"

#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <iniparser/iniparser.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

/* ---- Nothing may be printed -------------------------------------------- */

static FILE *printed;
static int saved_output, saved_errors;

static void
catch_output(void)
{
    printed = tmpfile();
    ck_assert_ptr_nonnull(printed);
    fflush(stdout);
    saved_output = dup(STDOUT_FILENO);
    saved_errors = dup(STDERR_FILENO);
    dup2(fileno(printed), STDOUT_FILENO);
    dup2(fileno(printed), STDERR_FILENO);
}

static void
see_output(void)
{
    char text[200] = "";
    size_t n;

    fflush(stdout);
    dup2(saved_output, STDOUT_FILENO);
    dup2(saved_errors, STDERR_FILENO);
    close(saved_output);
    close(saved_errors);
    rewind(printed);
    n = fread(text, 1, sizeof text - 1, printed);
    fclose(printed);
    ck_assert_msg(n == 0, "printed: %s", text);
}

/* ---- Help -------------------------------------------------------------- */

#define PATH "site.ini"

static struct fci_ini ini;
static fc_diagnostics *messages;

static void
begin(void)
{
    catch_output();
    ini = (struct fci_ini){ 0 };
    messages = fc_diagnostics_new();
    ck_assert_ptr_nonnull(messages);
}

static void
end(void)
{
    fci_ini_free(&ini);
    fc_diagnostics_free(messages);
    see_output();
}

static fc_status
read_bytes(const char *text, size_t length)
{
    return fci_ini_read_text(&ini, text, length, PATH, messages);
}

/* All messages as "line: text" lines; no line where it is 0. */
static const char *
all_messages(const char *path)
{
    static char text[8192];
    size_t i, at = 0;

    text[0] = '\0';
    for (i = 0; i < fc_diagnostics_count(messages); i++) {
        const fc_diagnostic m = fc_diagnostics_at(messages, i);

        ck_assert_int_eq(m.severity, FC_FAIL);
        ck_assert_str_eq(m.file, path);
        if (m.line)
            at +=
                (size_t)snprintf(text + at, sizeof text - at, "%d: ", m.line);
        at += (size_t)snprintf(text + at, sizeof text - at, "%s\n", m.text);
        ck_assert_uint_lt(at, sizeof text);
    }
    return text;
}

/* All that was read as "line [kind|name]" and "line key|value" lines. */
static const char *
all_sections(void)
{
    static char text[8192];
    size_t i, j, at = 0;

    text[0] = '\0';
    for (i = 0; i < ini.n_sections; i++) {
        const struct fci_section *s = &ini.sections[i];

        at += (size_t)snprintf(text + at, sizeof text - at, "%d [%s|%s]%s\n",
                               s->line, s->kind, s->name,
                               s->incomplete ? "?" : "");
        for (j = 0; j < s->n_entries; j++)
            at += (size_t)snprintf(text + at, sizeof text - at, "%d %s|%s\n",
                                   s->entries[j].line, s->entries[j].key,
                                   s->entries[j].value);
        ck_assert_uint_lt(at, sizeof text);
    }
    return text;
}

/* ---- What survives ----------------------------------------------------- */

static const struct {
    const char *text, *sections;
} good[] = {
    { "", "" },
    { "\n \t\n; a\n  # b\n;[c]\n", "" },
    { "\xef\xbb\xbf", "" },
    { "[site]", "1 [site|]\n" },
    { "\xef\xbb\xbf[site]\n", "1 [site|]\n" },
    { "\xef\xbb\xbf; c\r\n\r\n[Pipe Riser-2]\r\nFrom=Main\r\n",
      "3 [pipe|Riser-2]\n4 from|Main\n" },
    { "[ PIPE \t The  East\xc2\xa0 Riser ] ; c\nResidual \t Flow = 1 gpm",
      "1 [pipe|The East Riser]\n2 residual flow|1 gpm\n" },
    { "[a]\nk = v\r", "1 [a|]\n2 k|v\n" },
    { "[a]# c\n[b];c\n", "1 [a|]\n2 [b|]\n" },
    { "[a b;c#d] # ]\n", "1 [a|b;c#d]\n" },
    { "[a: b]\nc = 1\n[a]\nb:c = 2\n", "1 [a:|b]\n2 c|1\n3 [a|]\n4 b:c|2\n" },
    { "[a]\nk = x ; c\nl = y\t# c\nm = z\xc2\xa0; c\n",
      "1 [a|]\n2 k|x\n3 l|y\n4 m|z\n" },
    { "[a]\nk = x;y#z ;c\n", "1 [a|]\n2 k|x;y#z\n" },
    { "[a]\nk = \"x ; y # z\" ; c\nl = \"x\"#c\n",
      "1 [a|]\n2 k|x ; y # z\n3 l|x\n" },
    { "[a]\nk = \" x  y \"\n", "1 [a|]\n2 k|x  y\n" },
    { "[a]\nk = \"[b]\"\nl = [b]\nm = a = b\nn == =\n",
      "1 [a|]\n2 k|[b]\n3 l|[b]\n4 m|a = b\n5 n|= =\n" },
    { "[a]\nlength = 12'-6\"\nsize=3/4\"\nx = 'a' \"b\"\ny = '\nz = ''\n",
      "1 [a|]\n2 length|12'-6\"\n3 size|3/4\"\n4 x|'a' \"b\"\n5 y|'\n"
      "6 z|''\n" },
    { "[a]\nk = 'x ; y'\nl = 'x\n", "1 [a|]\n2 k|'x\n3 l|'x\n" },
    { "[a]\nk = \"'x ; y'\"\nl = \"'\"\n", "1 [a|]\n2 k|'x ; y'\n3 l|'\n" },
    { "[a]\nk = 12'-6\";7 # c\n", "1 [a|]\n2 k|12'-6\";7\n" },
    { "[a]\nk = x \\ y\nl = \"x\\\"\n; c \\\nm = z\n",
      "1 [a|]\n2 k|x \\ y\n3 l|x\\\n5 m|z\n" },
    { "[a]\nk = \\n\\\\x\\;\\\"y'\\''\nl = \"\\\\\" # c\nm = \"\\\";c\nn = "
      "\\\"\n",
      "1 [a|]\n2 k|\\n\\\\x\\;\\\"y'\\''\n3 l|\\\\\n4 m|\\\n5 n|\\\"\n" },
    { "[a]\nk = 62\xc2\xa0psi\tor so\n", "1 [a|]\n2 k|62 psi or so\n" },
    { "[a]\nk = \xc3\xa0\nStra\xc3\x9f"
      "E = \xe2\x82\xac \xf0\x9f\x92\xa7\n",
      "1 [a|]\n2 k|\xc3\xa0\n3 stra\xc3\x9f"
      "e|\xe2\x82\xac "
      "\xf0\x9f\x92\xa7\n" },
    { "[a]\nk = %s %n %d\n%s = x\n", "1 [a|]\n2 k|%s %n %d\n3 %s|x\n" },
    { "[0]\n0 = 1\n[1]\n0.1 = 2\n", "1 [0|]\n2 0|1\n3 [1|]\n4 0.1|2\n" },
    { "[a]\nk = 1\n[b]\nk = 2\n[a c]\nk = 3\n",
      "1 [a|]\n2 k|1\n3 [b|]\n4 k|2\n5 [a|c]\n6 k|3\n" },
};

START_TEST(survives)
{
    const char *text = good[_i].text;

    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
    ck_assert_str_eq(all_messages(PATH), "");
    ck_assert_str_eq(all_sections(), good[_i].sections);
    ck_assert_str_eq(ini.path, PATH);
}
END_TEST

/* ---- What is said ------------------------------------------------------ */

static const struct {
    const char *text, *messages, *sections;
} bad[] = {
    { "k = v\nl = w\nm\n[a]\n",
      "1: \"k = v\" is before the first section; expected [kind] or [kind "
      "name] first\n",
      "4 [a|]\n" },
    { "\xef\xbb\xbf\r\n; c\r\nk\r\n",
      "3: \"k\" is before the first section; expected [kind] or [kind name] "
      "first\n",
      "" },
    { "[a]\nfrom main\nk = v\n",
      "2: \"from main\" is neither a section nor a key with its value; "
      "expected [kind name] or key = value\n",
      "1 [a|]?\n3 k|v\n" },
    { "[a]\nk ; = v\n",
      "2: \"k ; = v\" is neither a section nor a key with its value; expected "
      "[kind name] or key = value\n",
      "1 [a|]?\n" },
    { "[a\nk = v\nl\n[b]\n",
      "1: \"[a\" is not closed; expected \"]\" after the name\n"
      "3: \"l\" is neither a section nor a key with its value; expected "
      "[kind name] or key = value\n",
      "4 [b|]\n" },
    { "[a ; b]\n",
      "1: \"[a ; b]\" is not closed; expected \"]\" after the name\n", "" },
    { "[a] k = v\nl = w\n",
      "1: \"k = v\" follows \"]\"; only a comment may follow there\n",
      "1 [a|]?\n2 l|w\n" },
    { "[a]]\n", "1: \"]\" follows \"]\"; only a comment may follow there\n",
      "1 [a|]?\n" },
    { "[]\n[ \t\xc2\xa0]\n",
      "1: the section has no kind; expected [kind] or [kind name]\n"
      "2: the section has no kind; expected [kind] or [kind name]\n",
      "" },
    { "[a]\n = v\n", "2: nothing is before \"=\"; expected key = value\n",
      "1 [a|]?\n" },
    { "[a]\nk =\nl = ; c\nm =#c\nn = \"\"\no = \" \t\"\n",
      "2: \"k\" has no value; expected one after \"=\"\n"
      "3: \"l\" has no value; expected one after \"=\"\n"
      "4: \"m\" has no value; expected one after \"=\"\n"
      "5: \"n\" has no value; expected one after \"=\"\n"
      "6: \"o\" has no value; expected one after \"=\"\n",
      "1 [a|]?\n" },
    { "[a]\nk = \"x ; y\n",
      "2: the value of \"k\" begins with a quote that is not closed; expected "
      "a second \"\n",
      "1 [a|]?\n" },
    { "[a]\nk = \"x\" y ; z\n",
      "2: \"y ; z\" follows the quoted value of \"k\"; only a comment may "
      "follow there\n",
      "1 [a|]?\n" },
    { "[a]\nk = x \\\ny = 2\nl = \\ ; c\n",
      "2: the value of \"k\" ends in a backslash, which does not join lines; "
      "write it on one line\n"
      "4: the value of \"l\" ends in a backslash, which does not join lines; "
      "write it on one line\n",
      "1 [a|]?\n3 y|2\n" },
    { "[a]\nResidual Flow = 1\n\nl = 2\nresidual  FLOW = 3\n[b]\nl = 4\n",
      "5: \"residual flow\" was given in line 2 of this section already; it "
      "is expected once\n",
      "1 [a|]?\n2 residual flow|1\n4 l|2\n6 [b|]\n7 l|4\n" },
    { "[pipe A b]\nk = 1\n[x]\n[PIPE a  B]\nk = 2\n[pipe a]\n",
      "4: [PIPE a B] was given in line 1 already; one section of that kind "
      "and name is expected\n",
      "1 [pipe|A b]\n2 k|1\n3 [x|]\n6 [pipe|a]\n" },
    { "[a]\r\n\tk = \x07 \r\nl = \x1b\r\nm = 1\r\n",
      "2: byte 6 of the line begins the control character U+0007; expected a "
      "text file\n",
      "1 [a|]?\n4 m|1\n" },
    { "[a]\nk\r= 1\n",
      "2: byte 2 of the line begins the control character U+000D; expected a "
      "text file\n",
      "1 [a|]?\n" },
    { "[a]\nk = \xc2\x9b"
      "2J\n",
      "2: byte 5 of the line begins the control character U+009B; expected a "
      "text file\n",
      "1 [a|]?\n" },
    { "\xef\xbb\xbf[a\x7f]\n",
      "1: byte 3 of the line begins the control character U+007F; expected a "
      "text file\n",
      "" },
    { "[a]\n; caf\xe9\nk = 1\n",
      "2: byte 6 of the line is 0xE9, which is not UTF-8; expected a text "
      "file in UTF-8\n",
      "1 [a|]?\n3 k|1\n" },
    { "[a]\nk = abcdefghijklmnopqrstuvwxyzabcdefghijklmnopqrs \\\n"
      "from abcdefghijklmnopqrstuvwxyzabcdefghijklm\xc3\xa4nopqrs\n",
      "2: the value of \"k\" ends in a backslash, which does not join lines; "
      "write it on one line\n"
      "3: \"from abcdefghijklmnopqrstuvwxyzabcdefghijklm...\" is neither a "
      "section nor a key with its value; expected [kind name] or key = "
      "value\n",
      "1 [a|]?\n" },
};

START_TEST(is_said)
{
    const char *text = bad[_i].text;

    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_EINPUT);
    ck_assert_str_eq(all_messages(PATH), bad[_i].messages);
    ck_assert_str_eq(all_sections(), bad[_i].sections);
}
END_TEST

/* No list: the same without messages. */
START_TEST(is_not_said)
{
    fc_diagnostics_free(messages);
    messages = NULL;
    ck_assert_int_eq(read_bytes(bad[_i].text, strlen(bad[_i].text)),
                     FC_EINPUT);
    ck_assert_str_eq(all_sections(), bad[_i].sections);
}
END_TEST

/* RFC 3629, section 4: what is not UTF-8. */
static const char *const not_utf8[] = {
    "\x80", /* continues nothing */
    "\xbf",
    "\xc0\xaf", /* two bytes for one */
    "\xc1\xbf",
    "\xc3", /* cut short */
    "\xe2\x82",
    "\xf0\x9f\x92",
    "\xc3(",
    "\xe0\x9f\xbf", /* three bytes for two */
    "\xed\xa0\x80", /* a surrogate */
    "\xed\xbf\xbf",
    "\xf0\x8f\xbf\xbf", /* four bytes for three */
    "\xf4\x90\x80\x80", /* above U+10FFFF */
    "\xf5\x80\x80\x80",
    "\xff",
};

START_TEST(is_not_utf8)
{
    char text[100], message[200];
    const char *bytes = not_utf8[_i];

    snprintf(text, sizeof text, "[a]\nk = x%s\n", bytes);
    snprintf(message, sizeof message,
             "2: byte 6 of the line is 0x%02X, which is not UTF-8; expected a "
             "text file in UTF-8\n",
             (unsigned)(unsigned char)bytes[0]);
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_EINPUT);
    ck_assert_str_eq(all_messages(PATH), message);
}
END_TEST

START_TEST(nul_is_not_text)
{
    static const char text[] = "[a]\nk\nl = \0 1\nm\n";
    static const char utf16[] = "\xff\xfe[\0a\0]\0\n";

    ck_assert_int_eq(read_bytes(text, sizeof text - 1), FC_EINPUT);
    ck_assert_str_eq(
        all_messages(PATH),
        "3: this line has a NUL byte; expected a text file in UTF-8\n");
    ck_assert_uint_eq(ini.n_sections, 0);
    fci_ini_free(&ini);
    ck_assert_int_eq(read_bytes(utf16, sizeof utf16 - 1), FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 2);
    ck_assert_int_eq(fc_diagnostics_at(messages, 1).line, 1);
}
END_TEST

/* Longest line that is read: 1,000 bytes. */
START_TEST(line_length)
{
    char text[2000], *line;
    size_t i;

    for (i = 0; i < 2; i++) {
        strcpy(text, "[a]\r\nk=");
        line = text + 5;
        memset(line + 2, i ? '"' : 'x', 999);
        line[2] = 'y';
        strcpy(line + 1000, "\r\nl = 1\r\n");
        ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
        ck_assert_str_eq(all_messages(PATH), "");
        ck_assert_uint_eq(ini.sections[0].n_entries, 2);
        ck_assert_uint_eq(strlen(ini.sections[0].entries[0].value), 998);
        ck_assert_mem_eq(ini.sections[0].entries[0].value, line + 2, 998);
        ck_assert_str_eq(ini.sections[0].entries[1].value, "1");
        fci_ini_free(&ini);
    }
    strcpy(line + 1000, "z\nl = 1\n");
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_EINPUT);
    ck_assert_str_eq(all_messages(PATH),
                     "2: the line is 1001 bytes long; at most 1000 can be "
                     "read\n");
    ck_assert_str_eq(all_sections(), "1 [a|]?\n3 l|1\n");
}
END_TEST

/* A key or a name of such length. */
START_TEST(long_names)
{
    char text[3000] = "[a ";
    size_t n = 3;

    memset(text + n, 'n', 996);
    strcpy(text + n + 996, "]\n");
    n = strlen(text);
    memset(text + n, 'k', 998);
    strcpy(text + n + 998, "=v\n");
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
    ck_assert_uint_eq(strlen(ini.sections[0].name), 996);
    ck_assert_uint_eq(strlen(ini.sections[0].entries[0].key), 998);
    ck_assert_str_eq(ini.sections[0].entries[0].value, "v");
}
END_TEST

START_TEST(at_most_fifty)
{
    char text[1000] = "[a]\n";
    int i;

    for (i = 0; i < 60; i++)
        strcat(text, "=\n");
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_EINPUT);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 51);
    ck_assert_int_eq(fc_diagnostics_at(messages, 49).line, 51);
    ck_assert_str_eq(fc_diagnostics_at(messages, 50).text,
                     "more is wrong; the first 50 messages are shown");
}
END_TEST

/* ---- Size -------------------------------------------------------------- */

#define MANY 20000

static const char *const keys[] = { "from",     "size", "length",
                                    "material", "rise", "fittings" };

START_TEST(many_sections)
{
    char *text = malloc((size_t)MANY * 200), *at = text, value[40];
    size_t i, j, same = 0;

    ck_assert_ptr_nonnull(text);
    for (i = 0; i < MANY; i++) {
        at += sprintf(at, "[pipe Riser-%zu]\n", i);
        for (j = 0; j < 6; j++)
            at += sprintf(at, "%s = %zu'-%zu\" of 'it'\n", keys[j], i, j);
    }
    ck_assert_int_eq(read_bytes(text, (size_t)(at - text)), FC_OK);
    ck_assert_uint_eq(ini.n_sections, MANY);
    for (i = 0; i < MANY; i++) {
        const struct fci_section *s = &ini.sections[i];

        snprintf(value, sizeof value, "Riser-%zu", i);
        ck_assert_str_eq(s->kind, "pipe");
        ck_assert_str_eq(s->name, value);
        ck_assert_int_eq(s->line, (int)(7 * i + 1));
        ck_assert_uint_eq(s->n_entries, 6);
        for (j = 0; j < 6; j++) {
            const struct fci_entry *e = &s->entries[j];

            snprintf(value, sizeof value, "%zu'-%zu\" of 'it'", i, j);
            same += strcmp(e->key, keys[j]) == 0
                    && strcmp(e->value, value) == 0
                    && e->line == (int)(7 * i + j + 2);
        }
    }
    ck_assert_uint_eq(same, 6 * MANY);
    free(text);
}
END_TEST

/* Values come back as they were written, however often each does, and though
 * another differs from it in the case of a letter alone. */
START_TEST(same_values)
{
    static const char *const values[] = { "6 in", "6 IN", "6 In", "#1; a",
                                          "x" };
    char *text = malloc((size_t)MANY * 200), *at = text;
    size_t i, j, same = 0;

    ck_assert_ptr_nonnull(text);
    for (i = 0; i < MANY; i++) {
        at += sprintf(at, "[pipe %zu]\n", i);
        for (j = 0; j < 6; j++)
            at += sprintf(at, "%s = \"%s\"\n", keys[j],
                          values[(i + j) % (sizeof values / sizeof *values)]);
    }
    ck_assert_int_eq(read_bytes(text, (size_t)(at - text)), FC_OK);
    ck_assert_uint_eq(ini.n_sections, MANY);
    for (i = 0; i < MANY; i++) {
        ck_assert_uint_eq(ini.sections[i].n_entries, 6);
        for (j = 0; j < 6; j++)
            same += strcmp(ini.sections[i].entries[j].value,
                           values[(i + j) % (sizeof values / sizeof *values)])
                    == 0;
    }
    ck_assert_uint_eq(same, 6 * MANY);
    free(text);
}
END_TEST

/* A section that is larger than the blocks iniparser is given. */
START_TEST(many_keys)
{
    char *text = malloc((size_t)MANY * 40), *at = text, want[40];
    size_t i;

    ck_assert_ptr_nonnull(text);
    at += sprintf(at, "[a]\nz = 1\n[b]\n");
    for (i = 0; i < MANY; i++)
        at += sprintf(at, "key %zu = value %zu\n", i, i);
    at += sprintf(at, "KEY 7 = again\n[c]\nz = 2\n");
    ck_assert_int_eq(read_bytes(text, (size_t)(at - text)), FC_EINPUT);
    snprintf(want, sizeof want, "%d: ", MANY + 4);
    ck_assert_msg(strncmp(all_messages(PATH), want, strlen(want)) == 0, "%s",
                  all_messages(PATH));
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_uint_eq(ini.n_sections, 3);
    ck_assert_uint_eq(ini.sections[1].n_entries, MANY);
    for (i = 0; i < MANY; i++) {
        snprintf(want, sizeof want, "value %zu", i);
        ck_assert_str_eq(ini.sections[1].entries[i].value, want);
    }
    ck_assert_str_eq(ini.sections[2].entries[0].value, "2");
    free(text);
}
END_TEST

START_TEST(too_large)
{
    const size_t most = (size_t)64 << 20;
    char *text = malloc(most + 1);

    ck_assert_ptr_nonnull(text);
    memset(text, '\n', most + 1);
    ck_assert_int_eq(read_bytes(text, most), FC_OK);
    fci_ini_free(&ini);
    ck_assert_int_eq(read_bytes(text, most + 1), FC_EINPUT);
    ck_assert_str_eq(all_messages(PATH),
                     "is 67108865 bytes long; at most 67108864 (64 MiB) can "
                     "be read\n");
    ck_assert_uint_eq(ini.n_sections, 0);
    free(text);
}
END_TEST

START_TEST(entry_by_key)
{
    static const char text[] = "[a]\nb c = 1\nb = 2\n";
    const struct fci_section *section;

    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
    section = &ini.sections[0];
    ck_assert_ptr_eq(fci_section_entry(section, "b c"), &section->entries[0]);
    ck_assert_ptr_eq(fci_section_entry(section, "b"), &section->entries[1]);
    ck_assert_ptr_null(fci_section_entry(section, "c"));
}
END_TEST

/* ---- Files ------------------------------------------------------------- */

static char folder[] = "/tmp/check_ini-XXXXXX";
static char path[100];

static void
begin_folder(void)
{
    begin();
    strcpy(strrchr(folder, '-'), "-XXXXXX");
    ck_assert_ptr_nonnull(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/site.ini", folder);
}

static void
end_folder(void)
{
    unlink(path);
    ck_assert_int_eq(rmdir(folder), 0); /* and nothing else was left there */
    end();
}

static void
write_file(const char *text)
{
    FILE *file = fopen(path, "w");

    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

START_TEST(file)
{
    write_file("[a]\nk = v\nl\n");
    ck_assert_int_eq(fci_ini_read_file(&ini, path, messages), FC_EINPUT);
    ck_assert_str_eq(all_sections(), "1 [a|]?\n2 k|v\n");
    ck_assert_str_eq(ini.path, path);
    ck_assert_uint_eq(fc_diagnostics_count(messages), 1);
    ck_assert_str_eq(fc_diagnostics_at(messages, 0).file, path);
    ck_assert_int_eq(fc_diagnostics_at(messages, 0).line, 3);
}
END_TEST

START_TEST(empty_file)
{
    write_file("");
    ck_assert_int_eq(fci_ini_read_file(&ini, path, messages), FC_OK);
    ck_assert_uint_eq(ini.n_sections, 0);
}
END_TEST

START_TEST(no_file)
{
    ck_assert_int_eq(fci_ini_read_file(&ini, path, messages), FC_EIO);
    ck_assert_str_eq(all_messages(path),
                     "cannot be read: No such file or directory\n");
    ck_assert_ptr_null(ini.path);
    ck_assert_uint_eq(ini.n_sections, 0);
}
END_TEST

START_TEST(folder_is_no_file)
{
    char expected[400];

    ck_assert_int_eq(fci_ini_read_file(&ini, folder, messages), FC_EIO);
    snprintf(expected, sizeof expected,
             "is a folder; its files are expected, such as %.200s/*.ini\n",
             folder);
    ck_assert_str_eq(all_messages(folder), expected);
}
END_TEST

/* A sparse file, so that nothing is read. */
START_TEST(large_file)
{
    write_file("[a]\n");
    ck_assert_int_eq(truncate(path, ((off_t)64 << 20) + 2), 0);
    ck_assert_int_eq(fci_ini_read_file(&ini, path, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(path),
                     "is 67108866 bytes long; at most 67108864 (64 MiB) can "
                     "be read\n");
}
END_TEST

/* Start a process that writes `text` again and again into a pipe; the path of
 * its other end goes to `name`. */
static pid_t
feed(const char *text, int times, char name[32], int *end_to_read)
{
    int ends[2];
    pid_t child;

    ck_assert_int_eq(pipe(ends), 0);
    child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        FILE *to = fdopen(ends[1], "w");

        close(ends[0]);
        signal(SIGPIPE, SIG_IGN);
        while (to && times-- > 0 && fputs(text, to) >= 0)
            continue;
        if (to)
            fclose(to);
        _exit(0);
    }
    close(ends[1]);
    *end_to_read = ends[0];
    snprintf(name, 32, "/dev/fd/%d", ends[0]);
    return child;
}

START_TEST(pipe_is_a_file)
{
    char name[32];
    int end_to_read;
    const pid_t child =
        feed("\n\n\n\n[a\xc2\xa0-b]\nk = v # c\n", 1, name, &end_to_read);

    ck_assert_int_eq(fci_ini_read_file(&ini, name, messages), FC_OK);
    ck_assert_str_eq(all_sections(), "5 [a|-b]\n6 k|v\n");
    close(end_to_read);
    waitpid(child, NULL, 0);
}
END_TEST

START_TEST(endless_pipe)
{
    char name[32], text[4097];
    int end_to_read;
    pid_t child;

    memset(text, '\n', sizeof text - 1);
    text[sizeof text - 1] = '\0';
    child = feed(text, 17000, name, &end_to_read); /* 66 MiB */
    ck_assert_int_eq(fci_ini_read_file(&ini, name, messages), FC_EINPUT);
    ck_assert_str_eq(all_messages(name),
                     "is more than 67108864 bytes long; at most 67108864 (64 "
                     "MiB) can be read\n");
    close(end_to_read);
    waitpid(child, NULL, 0);
}
END_TEST

/* ---- The way to iniparser ---------------------------------------------- */

static bool no_memory_files, no_proc;

/* In place of the C library's, so that they can be made to fail. */
int
memfd_create(const char *name, unsigned flags)
{
    return no_memory_files ? -1 : (int)syscall(SYS_memfd_create, name, flags);
}

int
open(const char *name, int flags, ...)
{
    va_list args;
    mode_t mode = 0;

    if (no_proc && strncmp(name, "/proc/", 6) == 0) {
        errno = ENOENT;
        return -1;
    }
    va_start(args, flags);
    if (flags & O_CREAT)
        mode = va_arg(args, mode_t);
    va_end(args);
    return openat(AT_FDCWD, name, flags, mode);
}

static void
end_of_ways(void)
{
    no_memory_files = no_proc = false;
    unsetenv("TMPDIR");
    end_folder();
}

START_TEST(no_folder_is_needed)
{
    static const char text[] = "[a]\nk = v\n[b]\nk = w\n";

    setenv("TMPDIR", path, 1); /* is not there */
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
    ck_assert_str_eq(all_sections(), "1 [a|]\n2 k|v\n3 [b|]\n4 k|w\n");
}
END_TEST

START_TEST(named_file_instead)
{
    static const char text[] = "[a]\nk = v\n[b]\nk = w\n";

    *(_i ? &no_proc : &no_memory_files) = true;
    setenv("TMPDIR", folder, 1);
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_OK);
    ck_assert_str_eq(all_sections(), "1 [a|]\n2 k|v\n3 [b|]\n4 k|w\n");
}
END_TEST

START_TEST(no_way)
{
    static const char text[] = "[a]\nk = v\nl\n";

    *(_i ? &no_proc : &no_memory_files) = true;
    setenv("TMPDIR", path, 1);
    ck_assert_int_eq(read_bytes(text, strlen(text)), FC_EIO);
    ck_assert_str_eq(all_messages(PATH),
                     "3: \"l\" is neither a section nor a key with its value; "
                     "expected [kind name] or key = value\n"
                     "cannot be read by way of /proc or a temporary file: No "
                     "such file or directory\n");
    ck_assert_ptr_null(ini.sections);
    ck_assert_uint_eq(ini.n_sections, 0);
}
END_TEST

/* Too few descriptors to open the file again. */
START_TEST(no_descriptors)
{
    static const char text[] = "[a]\nk = v\n";
    struct rlimit limit, was;
    const int next = dup(STDOUT_FILENO);
    fc_status status;

    no_memory_files = _i;
    setenv("TMPDIR", folder, 1);
    close(next);
    ck_assert_int_eq(getrlimit(RLIMIT_NOFILE, &was), 0);
    limit = was;
    limit.rlim_cur = (rlim_t)next + 1;
    ck_assert_int_eq(setrlimit(RLIMIT_NOFILE, &limit), 0);
    status = read_bytes(text, strlen(text));
    setrlimit(RLIMIT_NOFILE, &was);
    ck_assert_int_eq(status, FC_EIO);
    ck_assert_str_eq(all_messages(PATH),
                     "cannot be read by way of /proc or a temporary file: Too "
                     "many open files\n");
}
END_TEST

/* Descriptors that stay open would run out in the end. */
START_TEST(no_descriptor_is_left)
{
    static const char text[] = "[a]\nk = v\n";
    const int before = dup(STDOUT_FILENO);
    int after;

    close(before);
    write_file(text);
    ck_assert_int_eq(fci_ini_read_file(&ini, path, messages), FC_OK);
    after = dup(STDOUT_FILENO);
    close(after);
    ck_assert_int_eq(after, before);
}
END_TEST

/* ---- What iniparser says and leaves out --------------------------------- */

static int n_complaints;

static int
count_complaint(const char *format, ...)
{
    (void)format;
    return n_complaints++;
}

/* The callback is the process's: a program that embeds the library may have
 * set its own, and keeps it.  It is not called for what is read here. */
START_TEST(callback_stays)
{
    static const char good_text[] = "[a]\nk = \\v\\\"\n";
    static const char bad_text[] = "[a\nk\n[b]\nk = \\\n";

    n_complaints = 0;
    iniparser_set_error_callback(count_complaint);
    ck_assert_int_eq(read_bytes(good_text, strlen(good_text)), FC_OK);
    fci_ini_free(&ini);
    ck_assert_int_eq(read_bytes(bad_text, strlen(bad_text)), FC_EINPUT);
    fci_ini_free(&ini);
    setenv("TMPDIR", path, 1);
    no_memory_files = true;
    ck_assert_int_eq(read_bytes(good_text, strlen(good_text)), FC_EIO);
    ck_assert_int_eq(n_complaints, 0);
    ck_assert_ptr_null(iniparser_load(path));
    iniparser_set_error_callback(NULL);
    ck_assert_int_eq(n_complaints, 1);
}
END_TEST

/* iniparser gives a part of what stands in its file when memory runs out, and
 * not every version of it reads every value as the others do. */
static const char *left_out, *changed, *changed_to;
static int error_left;

dictionary *
iniparser_load(const char *file_path)
{
    dictionary *(*load)(const char *);
    void *const symbol = dlsym(RTLD_NEXT, "iniparser_load");
    dictionary *read;

    memcpy(&load, &symbol, sizeof load);
    read = load(file_path);
    if (left_out)
        iniparser_unset(read, left_out);
    if (changed)
        iniparser_set(read, changed, changed_to);
    if (error_left)
        errno = error_left;
    return read;
}

#define MISMATCH "4: iniparser reads another value of \"k\" than stands here\n"

static const struct {
    const char *left_out, *changed, *changed_to;
    int error;
    fc_status status;
    const char *messages;
} partial[] = {
    { NULL, NULL, NULL, 0, FC_OK, "" },
    { NULL, NULL, NULL, ENOMEM, FC_OK, "" },
    { "3:4", NULL, NULL, ENOMEM, FC_ENOMEM, "" },
    { "3:4", NULL, NULL, 0, FC_EIO, MISMATCH },
    { NULL, "3:4", "\3w\3", 0, FC_EIO, MISMATCH },
    { NULL, "3:4", "\3wx\3", 0, FC_EIO, MISMATCH },
    { NULL, "3:4", "\3www\3", 0, FC_EIO, MISMATCH },
    { NULL, "3:4", "ww", 0, FC_EIO, MISMATCH },
    { NULL, "3:4", "", 0, FC_EIO, MISMATCH },
    { NULL, "3:4", NULL, 0, FC_EIO, MISMATCH },
    { NULL, "3:4", NULL, ENOMEM, FC_ENOMEM, "" },
    { NULL, "3:4", "\3ww\3", 0, FC_OK, "" }, /* as it was */
};

START_TEST(nothing_is_left_out)
{
    static const char text[] = "[a]\nk = v\n[b]\nk = ww\nl = w\n";
    fc_status status;

    left_out = partial[_i].left_out;
    changed = partial[_i].changed;
    changed_to = partial[_i].changed_to;
    error_left = partial[_i].error;
    status = read_bytes(text, strlen(text));
    left_out = changed = NULL;
    error_left = 0;
    ck_assert_int_eq(status, partial[_i].status);
    ck_assert_str_eq(all_messages(PATH), partial[_i].messages);
    ck_assert_str_eq(all_sections(),
                     status == FC_OK ? "1 [a|]\n2 k|v\n3 [b|]\n4 k|ww\n5 l|w\n"
                                     : "");
}
END_TEST

/* ---- Two at a time ------------------------------------------------------ */

#define TIMES 200

/* Reads a text of its own again and again; returns how often it was read as
 * it stands. */
static void *
read_often(void *of)
{
    const char mark = *(const char *)of;
    char text[4000], *at = text, want[20];
    size_t good_reads = 0;
    int i, k;

    at += sprintf(at, "[a]\n");
    for (k = 0; k < 200; k++)
        at += sprintf(at, "k%d = %c\\%d\"\n", k, mark, k);
    for (i = 0; i < TIMES; i++) {
        struct fci_ini one;
        bool same =
            fci_ini_read_text(&one, text, (size_t)(at - text), PATH, NULL)
                == FC_OK
            && one.sections[0].n_entries == 200;

        for (k = 0; same && k < 200; k++) {
            snprintf(want, sizeof want, "%c\\%d\"", mark, k);
            same = strcmp(one.sections[0].entries[k].value, want) == 0;
        }
        good_reads += same;
        fci_ini_free(&one);
    }
    return (void *)good_reads;
}

START_TEST(two_threads)
{
    char marks[2] = { 'x', 'y' };
    pthread_t threads[2];
    void *good_reads;
    int i;

    for (i = 0; i < 2; i++)
        ck_assert_int_eq(
            pthread_create(&threads[i], NULL, read_often, &marks[i]), 0);
    for (i = 0; i < 2; i++) {
        ck_assert_int_eq(pthread_join(threads[i], &good_reads), 0);
        ck_assert_uint_eq((size_t)good_reads, TIMES);
    }
}
END_TEST

/* ---- All --------------------------------------------------------------- */

#define ROWS(a) ((int)(sizeof(a) / sizeof *(a)))

static TCase *
add_case(Suite *suite, const char *name, SFun set_up, SFun tear_down)
{
    TCase *tcase = tcase_create(name);

    tcase_add_checked_fixture(tcase, set_up, tear_down);
    tcase_set_timeout(tcase, 120); /* sanitizers are slow */
    suite_add_tcase(suite, tcase);
    return tcase;
}

static Suite *
ini_suite(void)
{
    Suite *suite = suite_create("ini");
    TCase *t = add_case(suite, "text", begin, end);

    tcase_add_loop_test(t, survives, 0, ROWS(good));
    tcase_add_loop_test(t, is_said, 0, ROWS(bad));
    tcase_add_loop_test(t, is_not_said, 0, ROWS(bad));
    tcase_add_loop_test(t, is_not_utf8, 0, ROWS(not_utf8));
    tcase_add_test(t, nul_is_not_text);
    tcase_add_test(t, line_length);
    tcase_add_test(t, long_names);
    tcase_add_test(t, at_most_fifty);
    tcase_add_test(t, entry_by_key);
    tcase_add_loop_test(t, nothing_is_left_out, 0, ROWS(partial));
    t = add_case(suite, "size", begin, end);
    tcase_add_test(t, many_sections);
    tcase_add_test(t, same_values);
    tcase_add_test(t, many_keys);
    tcase_add_test(t, too_large);
    t = add_case(suite, "files", begin_folder, end_folder);
    tcase_add_test(t, file);
    tcase_add_test(t, empty_file);
    tcase_add_test(t, no_file);
    tcase_add_test(t, folder_is_no_file);
    tcase_add_test(t, large_file);
    tcase_add_test(t, pipe_is_a_file);
    tcase_add_test(t, endless_pipe);
    tcase_add_test(t, no_descriptor_is_left);
    t = add_case(suite, "ways", begin_folder, end_of_ways);
    tcase_add_test(t, no_folder_is_needed);
    tcase_add_loop_test(t, named_file_instead, 0, 2);
    tcase_add_loop_test(t, no_way, 0, 2);
    tcase_add_loop_test(t, no_descriptors, 0, 2);
    tcase_add_test(t, callback_stays);
    tcase_add_test(t, two_threads);
    return suite;
}

int
main(void)
{
    return run_suite(ini_suite());
}
