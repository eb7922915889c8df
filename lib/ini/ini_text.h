/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/ini_text.h -- the text of one line. */
#ifndef FCI_INI_INI_TEXT_H
#define FCI_INI_INI_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#define FCI_LONGEST_LINE 1000u /* 1,024 for iniparser, with our marks */

/* What is not text in a line. */
struct fci_not_text {
    size_t column;  /* bytes, from 1 */
    long character; /* a control character; -1: no UTF-8 */
    unsigned char byte;
};

/* Copy n bytes of a line into `to`, of n + 1 bytes at least, with a space for
 * each white space.  On failure *wrong is set. */
bool fci_plain_line(const char *from, size_t n, char *to,
                    struct fci_not_text *wrong);

/* The others work on a plain line, where a space is all white space. */

/* Without white space at both ends. */
char *fci_trimmed(char *text);
/* The same with single spaces inside. */
char *fci_squeezed(char *text);

/* Whether a comment begins with this character, where one may begin. */
bool fci_is_comment(char c);
/* The comment that begins behind `text` and before `end`, or NULL. */
char *fci_comment_in(char *text, const char *end);

/* The start of a text, for messages. */
struct fci_excerpt {
    char text[48];
};
struct fci_excerpt fci_excerpt(const char *text);

#endif
