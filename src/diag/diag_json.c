/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/diag.h>

#include <string.h>

static void add_escaped(unsigned char c, tw_buf *out)
{
    switch (c) {
    case '"': tw_buf_addz(out, "\\\""); break;
    case '\\': tw_buf_addz(out, "\\\\"); break;
    case '\b': tw_buf_addz(out, "\\b"); break;
    case '\f': tw_buf_addz(out, "\\f"); break;
    case '\n': tw_buf_addz(out, "\\n"); break;
    case '\r': tw_buf_addz(out, "\\r"); break;
    case '\t': tw_buf_addz(out, "\\t"); break;
    default: tw_buf_addf(out, "\\u%04x", c); break;
    }
}

void tw_diag_json_string(tw_str s, tw_buf *out)
{
    tw_buf_addc(out, '"');
    while (s.len > 0) {
        size_t fine = 0;
        while (fine < s.len && (unsigned char)s.at[fine] >= 0x20 && (unsigned char)s.at[fine] < 0x80 &&
               s.at[fine] != '"' && s.at[fine] != '\\')
            fine++;
        tw_buf_add(out, tw_str_cut(s, fine));
        s = tw_str_from(s, fine);
        if (s.len == 0)
            break;
        unsigned char c = (unsigned char)s.at[0];
        size_t n = 1;
        if (c < 0x80) {
            add_escaped(c, out);
        } else {
            while (n < 4 && n < s.len && !tw_str_utf8(tw_str_cut(s, n), NULL))
                n++;
            bool good = tw_str_utf8(tw_str_cut(s, n), NULL);
            tw_buf_add(out, good ? tw_str_cut(s, n) : TW_STR("\xEF\xBF\xBD"));
            n = good ? n : 1;
        }
        s = tw_str_from(s, n);
    }
    tw_buf_addc(out, '"');
}

/* ---- members --------------------------------------------------------------------------------------------- */

static bool comma_due(const tw_buf *out)
{
    return out->len > 0 && strchr("{[ \n", out->at[out->len - 1]) == NULL;
}

void tw_diag_json_key(const char *name, tw_buf *out)
{
    tw_buf_addf(out, "%s\"%s\": ", comma_due(out) ? ", " : "", name);
}

void tw_diag_json_text(const char *name, tw_str value, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_diag_json_string(value, out);
}

void tw_diag_json_count(const char *name, int64_t value, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_add_int(out, value);
}

void tw_diag_json_bool(const char *name, bool value, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_addz(out, value ? "true" : "false");
}

void tw_diag_json_number(const char *name, double value, int places, tw_buf *out)
{
    tw_diag_json_key(name, out);
    tw_buf_add_double(out, tw_num_round(value, places));
}

void tw_diag_json_next(const char *line, tw_buf *out)
{
    tw_buf_addf(out, "%s%s", !comma_due(out) ? "" : line[0] == '\n' ? "," : ", ", line);
}

/* ---- findings -------------------------------------------------------------------------------------------- */

static void add_text(const char *name, tw_str value, tw_buf *out)
{
    if (value.len > 0)
        tw_diag_json_text(name, value, out);
}

static void add_number(const char *name, uint32_t value, tw_buf *out)
{
    if (value > 0)
        tw_diag_json_count(name, value, out);
}

void tw_diags_write_json(const tw_diags *diags, int indent, tw_buf *out)
{
    size_t kept = tw_diags_kept(diags);
    tw_buf_addc(out, '[');
    for (size_t i = 0; i < kept; i++) {
        const tw_diag *d = tw_diags_get(diags, i);
        tw_diag_json_next("\n", out);
        tw_buf_fill(out, ' ', (size_t)indent);
        tw_buf_addf(out, "{\"severity\": \"%s\", \"code\": \"TW%04d\"", tw_severity_word(d->severity), d->code);
        add_text("file", d->place.file, out);
        add_number("line", d->place.line, out);
        add_number("column", d->place.line > 0 ? d->place.column : 0, out);
        add_text("pointer", d->place.pointer, out);
        add_text("message", d->message, out);
        add_text("hint", d->hint, out);
        tw_buf_addc(out, '}');
    }
    tw_buf_addc(out, ']');
}

void tw_diag_json_end(const tw_diags *diags, tw_buf *out)
{
    tw_diag_json_key("findings", out);
    tw_diags_write_json(diags, 2, out);
    tw_buf_addz(out, "}\n");
}
