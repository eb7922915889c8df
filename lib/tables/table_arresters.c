/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/tables/table_arresters.c -- water hammer arresters by fixture units. */
#include "tables/table_entries.h"

const char *const fci_arrester_words[] = { "AA", "A", "B", "C",
                                           "D",  "E", "F", NULL };

struct arrester_keys {
    fc_range next_above, two_above, most, peak;
};

#define LIMIT(key, dimension, member)                                         \
    FCI_FIGURE_FIELD(key, dimension, FCI_POSITIVE, struct arrester_keys,      \
                     member, true)

static const struct fci_field arrester_keys[] = {
    FCI_COMMON_FIELDS,
    LIMIT("next size above", FC_PRESSURE, next_above),
    LIMIT("two above", FC_LENGTH, two_above),
    LIMIT("most static", FC_PRESSURE, most),
    LIMIT("peak", FC_PRESSURE, peak),
};

static bool
read_size(struct fci_table_reader *r, const struct fci_entry *entry,
          fc_arrester *size)
{
    size_t i;

    for (i = 0; fci_arrester_words[i]; i++)
        if (fci_same_name(fci_arrester_words[i], entry->value)) {
            *size = (fc_arrester)(FC_ARRESTER_AA + i);
            return true;
        }
    fci_table_wrong_value(r, entry, "AA, A, B, C, D, E or F");
    return false;
}

void
fci_table_read_arresters(struct fci_table_reader *r, void *entry)
{
    struct fci_arresters *arresters = entry;
    struct arrester_keys keys = { 0 };
    struct fci_table_row *rows;
    size_t i, n;

    fci_table_fields(r, arrester_keys, FCI_COUNT_OF(arrester_keys), NULL,
                     &keys);
    arresters->next_above = keys.next_above.nominal;
    arresters->two_above = keys.two_above.nominal;
    arresters->most = keys.most.nominal;
    arresters->peak = keys.peak.nominal;
    rows = fci_table_rows(r, FC_NUMBER, &n);
    if (!rows)
        return;
    arresters->units = fci_table_array(r, n, sizeof *arresters->units);
    arresters->sizes = fci_table_array(r, n, sizeof *arresters->sizes);
    if (!arresters->units || !arresters->sizes)
        return;
    for (i = 0; i < n; i++) {
        const size_t at = arresters->n;

        if (!read_size(r, rows[i].entry, &arresters->sizes[at]))
            continue;
        if (at > 0 && arresters->sizes[at] <= arresters->sizes[at - 1]) {
            fci_table_wrong(
                r, fci_table_blamed(r, rows[i - 1].entry, rows[i].entry),
                "is out of step with its neighbor; sizes that grow with the "
                "fixture units are expected");
            return;
        }
        arresters->units[at] = rows[i].place;
        arresters->n++;
    }
}
