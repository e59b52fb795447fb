/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/xmlio.h>

#include "base/ext.h"

/* ---- escaping -------------------------------------------------------------------------------------------- */

/* Bytes of the UTF-8 character at s[i] that XML 1.0 clause 2.2 allows; 0 when there is none. */
static size_t character(tw_str s, size_t i)
{
    unsigned char c = (unsigned char)s.at[i];
    if (c < 0x80)
        return c >= 0x20 || c == '\t' || c == '\n' || c == '\r';
    size_t len = c >= 0xF0 ? 4 : c >= 0xE0 ? 3 : 2;
    if (len > s.len - i || !tw_str_utf8((tw_str){s.at + i, len}, NULL))
        return 0;
    /* U+FFFE and U+FFFF are no characters of XML */
    bool excluded = c == 0xEF && (unsigned char)s.at[i + 1] == 0xBF && (unsigned char)s.at[i + 2] >= 0xBE;
    return excluded ? 0 : len;
}

static const char *entity(char c, bool attribute)
{
    if (c > '>' || (c >= '\'' && c <= ';'))
        return NULL; /* nearly all */
    switch (c) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '\r': return "&#13;"; /* would be read back as a line feed */
    case '"': return attribute ? "&quot;" : NULL;
    case '\t': return attribute ? "&#9;" : NULL; /* would be read back as blanks */
    case '\n': return attribute ? "&#10;" : NULL;
    default: return NULL;
    }
}

static void add_escaped(tw_xml *xml, tw_str s, bool attribute)
{
    tw_buf *out = xml->out;
    size_t done = 0, i = 0;
    while (i < s.len) {
        size_t len = character(s, i);
        const char *instead = len == 0 ? "\xEF\xBF\xBD" : entity(s.at[i], attribute);
        xml->replaced += len == 0;
        if (instead != NULL) {
            tw_buf_add(out, (tw_str){s.at + done, i - done});
            tw_buf_addz(out, instead);
            done = i + 1;
        }
        i += len > 0 ? len : 1;
    }
    tw_buf_add(out, tw_str_from(s, done));
}

static bool is_plain(tw_str s, bool attribute)
{
    for (size_t i = 0; i < s.len; i++)
        if (character(s, i) != 1 || entity(s.at[i], attribute) != NULL)
            return false;
    return true;
}

/* Formats in place; a copy is made only of the rare text that has something to escape. */
static void add_formatted(tw_xml *xml, bool attribute, const char *format, va_list values)
{
    tw_buf *out = xml->out;
    size_t start = out->len;
    tw_buf_addv(out, format, values);
    tw_str text = {out->at + start, out->len - start};
    if (text.len == 0 || is_plain(text, attribute))
        return;
    text = tw_arena_dup(out->arena, text);
    out->len = start;
    add_escaped(xml, text, attribute);
}

/* ---- elements -------------------------------------------------------------------------------------------- */

static void end_tag(tw_xml *xml)
{
    if (xml->open)
        tw_buf_addc(xml->out, '>');
    xml->open = false;
}

/* Where a child begins: on a line of its own, unless blanks count here. */
static void new_line(tw_xml *xml)
{
    if (xml->depth > 0 && xml->at[xml->depth - 1].inline_)
        return;
    if (xml->depth > 0)
        tw_buf_addc(xml->out, '\n');
    tw_buf_fill(xml->out, ' ', (size_t)xml->depth);
}

void tw_xml_begin(tw_xml *xml, const char *doctype)
{
    tw_buf_addz(xml->out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    if (doctype != NULL)
        tw_buf_addf(xml->out, "<!DOCTYPE %s>\n", doctype);
}

void tw_xml_open(tw_xml *xml, const char *name)
{
    TW_ASSERT(xml->depth < TW_XML_DEPTH);
    end_tag(xml);
    new_line(xml);
    bool within = xml->depth > 0 && xml->at[xml->depth - 1].inline_;
    if (xml->depth > 0)
        xml->at[xml->depth - 1].filled = true;
    xml->at[xml->depth].name = name;
    xml->at[xml->depth].inline_ = within;
    xml->at[xml->depth].filled = false;
    xml->depth++;
    xml->open = true;
    tw_buf_addc(xml->out, '<');
    tw_buf_addz(xml->out, name);
}

void tw_xml_close(tw_xml *xml)
{
    TW_ASSERT(xml->depth > 0);
    const char *name = xml->at[xml->depth - 1].name;
    bool inline_ = xml->at[xml->depth - 1].inline_;
    xml->depth--;
    if (xml->open) {
        tw_buf_addz(xml->out, "/>");
    } else {
        if (!inline_) {
            tw_buf_addc(xml->out, '\n');
            tw_buf_fill(xml->out, ' ', (size_t)xml->depth);
        }
        tw_buf_addz(xml->out, "</");
        tw_buf_addz(xml->out, name);
        tw_buf_addc(xml->out, '>');
    }
    xml->open = false;
    if (xml->depth == 0)
        tw_buf_addc(xml->out, '\n');
}

void tw_xml_close_to(tw_xml *xml, int depth)
{
    while (xml->depth > depth)
        tw_xml_close(xml);
}

/* ---- attributes ------------------------------------------------------------------------------------------ */

static void open_attr(tw_xml *xml, const char *name)
{
    TW_ASSERT(xml->open);
    tw_buf_addc(xml->out, ' ');
    tw_buf_addz(xml->out, name);
    tw_buf_addz(xml->out, "=\"");
}

void tw_xml_attr(tw_xml *xml, const char *name, tw_str value)
{
    open_attr(xml, name);
    add_escaped(xml, value, true);
    tw_buf_addc(xml->out, '"');
}

void tw_xml_attrz(tw_xml *xml, const char *name, const char *value)
{
    tw_xml_attr(xml, name, tw_str_z(value));
}

void tw_xml_attrf(tw_xml *xml, const char *name, const char *format, ...)
{
    open_attr(xml, name);
    va_list values;
    va_start(values, format);
    add_formatted(xml, true, format, values);
    va_end(values);
    tw_buf_addc(xml->out, '"');
}

void tw_xml_add_num(tw_buf *out, double value, int places)
{
    size_t start = out->len;
    tw_buf_add_fixed(out, value, places);
    if (places == 0)
        return;
    while (out->len > start && out->at[out->len - 1] == '0')
        out->len--;
    if (out->at[out->len - 1] == '.')
        out->len--;
}

void tw_xml_attr_num(tw_xml *xml, const char *name, double value, int places)
{
    open_attr(xml, name);
    tw_xml_add_num(xml->out, value, places);
    tw_buf_addc(xml->out, '"');
}

void tw_xml_open_with(tw_xml *xml, const char *name, const char *attribute, const char *value)
{
    tw_xml_open(xml, name);
    tw_xml_attrz(xml, attribute, value);
}

/* ---- text ------------------------------------------------------------------------------------------------ */

void tw_xml_inline(tw_xml *xml)
{
    TW_ASSERT(xml->depth > 0 && !xml->at[xml->depth - 1].filled);
    xml->at[xml->depth - 1].inline_ = true;
}

static void begin_text(tw_xml *xml)
{
    TW_ASSERT(xml->depth > 0);
    end_tag(xml);
    xml->at[xml->depth - 1].inline_ = true;
    xml->at[xml->depth - 1].filled = true;
}

void tw_xml_text(tw_xml *xml, tw_str text)
{
    begin_text(xml);
    add_escaped(xml, text, false);
}

void tw_xml_textz(tw_xml *xml, const char *text)
{
    tw_xml_text(xml, tw_str_z(text));
}

void tw_xml_textf(tw_xml *xml, const char *format, ...)
{
    begin_text(xml);
    va_list values;
    va_start(values, format);
    add_formatted(xml, false, format, values);
    va_end(values);
}

void tw_xml_leaf(tw_xml *xml, const char *name, tw_str text)
{
    tw_xml_open(xml, name);
    tw_xml_text(xml, text);
    tw_xml_close(xml);
}
