/* SPDX-License-Identifier: GPL-3.0-or-later */
/* lib/ini/field_rows.h -- how a list of keys is written, a row a key. */
#ifndef FCI_INI_FIELD_ROWS_H
#define FCI_INI_FIELD_ROWS_H

#include "ini/fields.h"

/* One key: its word, type, dimension, domain and member. */
#define KEY(k, t, d, m, s, f)                                                 \
    .key = (k), .type = (t), .dimension = (d), .domain = (m),                 \
    .offset = offsetof(s, f)
#define TEXT(k, s, f)                                                         \
    {                                                                         \
        KEY(k, &fci_text_field, FC_NUMBER, FCI_ANY, s, f)                     \
    }
#define NAME(k, s, f)                                                         \
    {                                                                         \
        KEY(k, &fci_name_field, FC_NUMBER, FCI_ANY, s, f)                     \
    }
#define NEEDED_NAME(k, s, f)                                                  \
    {                                                                         \
        KEY(k, &fci_name_field, FC_NUMBER, FCI_ANY, s, f), .required = true   \
    }
#define FIGURE(k, d, m, s, f)                                                 \
    {                                                                         \
        KEY(k, &fci_figure_field, d, m, s, f)                                 \
    }
#define RANGE(k, d, m, s, f)                                                  \
    {                                                                         \
        KEY(k, &fci_range_field, d, m, s, f)                                  \
    }
#define NEEDED_RANGE(k, d, m, s, f)                                           \
    {                                                                         \
        KEY(k, &fci_range_field, d, m, s, f), .required = true                \
    }
#define PRICE(k, s, f)                                                        \
    {                                                                         \
        KEY(k, &fci_price_field, FC_NUMBER, FCI_NOT_NEGATIVE, s, f)           \
    }
#define YES_NO(k, s, f)                                                       \
    {                                                                         \
        KEY(k, &fci_yes_no_field, FC_NUMBER, FCI_ANY, s, f)                   \
    }
#define CHOICE(k, words, first, s, f)                                         \
    {                                                                         \
        KEY(k, &fci_choice_field, FC_NUMBER, FCI_ANY, s, f),                  \
            .choices = (words), .second = (first)                             \
    }
#define LOSS(k, s, f)                                                         \
    {                                                                         \
        KEY(k, &fci_loss_field, FC_PRESSURE, FCI_NOT_NEGATIVE, s, f)          \
    }
/* A data sheet may print one that falls as the flow grows. */
#define DIPPING_LOSS(k, s, f)                                                 \
    {                                                                         \
        KEY(k, &fci_loss_field, FC_PRESSURE, FCI_NOT_NEGATIVE, s, f),         \
            .second = FCI_MAY_DIP                                             \
    }
#define PAIR(k, t, d, s, f, g, d2)                                            \
    {                                                                         \
        KEY(k, t, d, FCI_POSITIVE, s, f), .second = offsetof(s, g),           \
                                          .second_dimension = (d2)            \
    }
#define LIST(k, t, s, f, n)                                                   \
    {                                                                         \
        KEY(k, t, FC_NUMBER, FCI_ANY, s, f), .second = offsetof(s, n)         \
    }
#define DEVIATION(k, d, s, f)                                                 \
    {                                                                         \
        KEY(k, &fci_deviation_field, d, FCI_NOT_NEGATIVE, s, f)               \
    }

#endif
