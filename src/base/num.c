/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/base.h>

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Powers of ten that a double holds exactly. A whole number below 2^53 divided or multiplied by one of them is
 * correctly rounded, since both operands are exact: no table, no big numbers, no locale. */
static const double exact_ten[] = {1e0,  1e1,  1e2,  1e3,  1e4,  1e5,  1e6,  1e7,  1e8,  1e9,  1e10, 1e11,
                                   1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22};
#define EXACT_TENS ((int)TW_COUNT(exact_ten) - 1)
#define EXACT_WHOLE 9007199254740992.0 /* 2^53 */

bool tw_num_int(tw_str s, int64_t *out)
{
    size_t i = 0;
    bool negative = s.len > 0 && s.at[0] == '-';
    if (s.len > 0 && (s.at[0] == '-' || s.at[0] == '+'))
        i = 1;
    if (i == s.len)
        return false;
    int64_t value = 0;
    for (; i < s.len; i++) {
        int digit = s.at[i] - '0';
        if (digit < 0 || digit > 9 || value < (INT64_MIN + digit) / 10)
            return false;
        value = value * 10 - digit; /* counted down, so that INT64_MIN fits */
    }
    if (!negative && value == INT64_MIN)
        return false;
    *out = negative ? value : -value;
    return true;
}

bool tw_num_hex(tw_str s, uint64_t *out)
{
    uint64_t value = 0;
    for (size_t i = 0; i < s.len; i++) {
        char c = s.at[i];
        bool letter = (c >= 'a' && c <= 'f') || (c >= 'A' && c <= 'F');
        if (!letter && (c < '0' || c > '9'))
            return false;
        value = value << 4 | (uint64_t)(letter ? (c | 0x20) - 'a' + 10 : c - '0');
    }
    *out = value;
    return s.len > 0 && s.len <= 16;
}

typedef struct decimal {
    bool negative, whole_known; /* whole_known: all digits fitted in `digits` */
    uint64_t digits;
    int exponent; /* value = digits * 10^exponent */
} decimal;

#define FAR_EXPONENT 100000 /* past any double; more digits change nothing */

static bool scan_exponent(tw_str s, size_t i, int *exponent)
{
    bool negative = i < s.len && s.at[i] == '-';
    if (i < s.len && (s.at[i] == '-' || s.at[i] == '+'))
        i++;
    if (i == s.len)
        return false;
    int value = 0;
    for (; i < s.len; i++) {
        int digit = s.at[i] - '0';
        if (digit < 0 || digit > 9)
            return false;
        value = value < FAR_EXPONENT ? value * 10 + digit : value;
    }
    *exponent += negative ? -value : value;
    return true;
}

static bool scan_decimal(tw_str s, decimal *d)
{
    size_t i = 0, seen = 0;
    bool point = false;
    *d = (decimal){.whole_known = true};
    if (s.len > 0 && (s.at[0] == '-' || s.at[0] == '+'))
        d->negative = s.at[i++] == '-';
    for (; i < s.len; i++) {
        char c = s.at[i];
        if (c == '.' && !point) {
            point = true;
        } else if (c >= '0' && c <= '9') {
            seen++;
            if (d->digits > (UINT64_MAX - 9) / 10)
                d->whole_known = false;
            else
                d->digits = d->digits * 10 + (uint64_t)(c - '0');
            d->exponent -= point;
        } else {
            break;
        }
    }
    if (seen == 0)
        return false;
    if (i < s.len)
        return (s.at[i] == 'e' || s.at[i] == 'E') && scan_exponent(s, i + 1, &d->exponent);
    return true;
}

/* strtod follows the locale's decimal point: find out what that is and write the number with it. */
static double by_library(tw_str s)
{
    char probe[16], point[8] = ".";
    snprintf(probe, sizeof probe, "%.1f", 0.5); /* "0" point "5" */
    size_t n = strlen(probe);
    if (n >= 3 && n - 2 < sizeof point) {
        memcpy(point, probe + 1, n - 2);
        point[n - 2] = '\0';
    }
    char small[128];
    char *text = s.len + 8 < sizeof small ? small : malloc(s.len + 8);
    if (text == NULL)
        return (double)NAN;
    size_t len = 0;
    for (size_t i = 0; i < s.len; i++) {
        if (s.at[i] == '.') {
            memcpy(text + len, point, strlen(point));
            len += strlen(point);
        } else {
            text[len++] = s.at[i];
        }
    }
    text[len] = '\0';
    double value = strtod(text, NULL);
    if (text != small)
        free(text);
    return value;
}

bool tw_num_double(tw_str s, double *out)
{
    decimal d;
    if (!scan_decimal(s, &d))
        return false;
    double value;
    if (d.whole_known && d.digits <= (uint64_t)EXACT_WHOLE && d.exponent >= -EXACT_TENS && d.exponent <= EXACT_TENS) {
        value = (double)d.digits;
        value = d.exponent < 0 ? value / exact_ten[-d.exponent] : value * exact_ten[d.exponent];
        value = d.negative ? -value : value;
    } else {
        value = by_library(s);
    }
    if (!isfinite(value))
        return false;
    *out = value;
    return true;
}

double tw_num_round(double value, int places)
{
    double ten = exact_ten[places];
    double scaled = fabs(value) * ten;
    if (!(scaled < EXACT_WHOLE))
        return value;
    double whole = floor(scaled + 0.5);
    return value < 0 ? -(whole / ten) : whole / ten;
}

/* digits * 10^-places as text, with at least one digit on both sides of the point. */
static void add_point(tw_buf *buf, bool negative, uint64_t digits, int places)
{
    char text[40];
    char *end = text + sizeof text, *p = end;
    for (int i = 0; i < places || i == 0 || digits != 0; i++) {
        if (i == places)
            *--p = '.';
        *--p = (char)('0' + digits % 10);
        digits /= 10;
        if (i + 1 == places && digits == 0) {
            *--p = '.';
            *--p = '0';
            break;
        }
    }
    if (negative)
        *--p = '-';
    tw_buf_add(buf, (tw_str){p, (size_t)(end - p)});
}

/* The shortest decimals with few places are found by exact division; true when that gave the text. */
static bool add_short(tw_buf *buf, double value)
{
    double size = fabs(value);
    for (int places = 1; places <= 6; places++) {
        double scaled = size * exact_ten[places];
        if (!(scaled < EXACT_WHOLE))
            return false;
        double whole = floor(scaled + 0.5);
        if (whole / exact_ten[places] == size) {
            add_point(buf, signbit(value) != 0, (uint64_t)whole, places);
            return true;
        }
    }
    return false;
}

/* By the C library: the fewest digits that read back, the locale's point replaced, the exponent without padding. */
static void add_long(tw_buf *buf, double value)
{
    char text[40] = "";
    for (int digits = fabs(value) < DBL_MIN ? 1 : 15; digits <= 17; digits++) {
        snprintf(text, sizeof text, "%.*g", digits, value);
        if (strtod(text, NULL) == value)
            break;
    }
    bool marked = false;
    const char *p = text;
    for (; *p != '\0' && *p != 'e'; p++) {
        bool plain = (*p >= '0' && *p <= '9') || *p == '-';
        if (plain)
            tw_buf_addc(buf, *p);
        else if (!marked) /* a point of one byte or several */
            tw_buf_addc(buf, '.');
        marked = marked || !plain;
    }
    if (*p == 'e')
        tw_buf_addf(buf, "e%d", atoi(p + 1));
    else if (!marked)
        tw_buf_addz(buf, ".0");
}

void tw_buf_add_double(tw_buf *buf, double value)
{
    if (isnan(value)) {
        tw_buf_addz(buf, "NaN");
    } else if (isinf(value)) {
        tw_buf_addz(buf, value > 0 ? "Infinity" : "-Infinity");
    } else if (!add_short(buf, value)) {
        add_long(buf, value);
    }
}

void tw_buf_add_fixed(tw_buf *buf, double value, int places)
{
    double scaled = floor(fabs(value) * exact_ten[places] + 0.5);
    if (!(scaled < EXACT_WHOLE)) {
        tw_buf_add_double(buf, value);
    } else if (places == 0) {
        tw_buf_add_int(buf, value < 0 ? -(int64_t)scaled : (int64_t)scaled);
    } else {
        add_point(buf, value < 0 && scaled > 0, (uint64_t)scaled, places);
    }
}
