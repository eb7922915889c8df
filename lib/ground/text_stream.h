/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ground/text_stream.h -- a stream that writes a text into memory. */
#ifndef FCI_GROUND_TEXT_STREAM_H
#define FCI_GROUND_TEXT_STREAM_H

#include <stddef.h>
#include <stdio.h>

/* As open_memstream(), but the text is there once the stream is closed, and
 * nothing of it is lost unseen: where memory ran out at any time fclose()
 * fails, and *text is NULL.  Else *text is to be freed.  NULL: out of
 * memory. */
FILE *fci_text_stream(char **text, size_t *size);

#endif
