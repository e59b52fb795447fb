/* SPDX-License-Identifier: Apache-2.0
 *
 * tallwide/xmlio.h - XML in and out.
 *
 * The writer is our own: it puts attributes in the order of the calls, one element a line, straight into a tw_buf, so
 * that the same model always gives the same bytes and a changed number is one changed line in a diff. A library's
 * writer would bring its own buffers, its own memory and a return code at every call for what is a page of code.
 */
#ifndef TALLWIDE_XMLIO_H
#define TALLWIDE_XMLIO_H

#include <tallwide/base.h>
#include <tallwide/diag.h>

#ifdef __cplusplus
extern "C" {
#endif

/* ---- reading --------------------------------------------------------------------------------------------- */

#define TW_XML_READ_DEPTH 128  /* deepest nesting accepted */
#define TW_XML_NODES 10000000u /* most elements accepted */

/* Attribute names keep their prefix as written ("xml:id"). */
typedef struct tw_xml_attribute {
    tw_str name, value;
} tw_xml_attribute;

typedef struct tw_xml_node tw_xml_node;
struct tw_xml_node {
    tw_xml_node *next, *child, *last;
    tw_str name;  /* without prefix */
    tw_str space; /* namespace URI, or empty */
    tw_str text;  /* of an element without children */
    tw_xml_attribute *attrs;
    size_t attr_count;
    size_t offset;    /* of its '<' in the input */
    tw_str line_text; /* the line it begins in, a view into the input */
    uint32_t line;
};

typedef struct tw_xml_doc {
    tw_xml_node *root;
    tw_str file, bytes;
} tw_xml_doc;

/* Reads XML over libxml2: UTF-8, or ISO-8859-1 where the file says so, which becomes UTF-8. Nothing is fetched; a
 * document type may name an external definition, which is not looked at, but one with declarations of its own (entities
 * ...) is refused. Findings: TW20xx with line and, where known, column; TW_ERR_SYNTAX, or TW_ERR_LIMIT past the bounds
 * above. */
tw_status tw_xml_read(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_xml_doc *out);

tw_place tw_xml_place(const tw_xml_doc *doc, const tw_xml_node *node);

/* Value of an attribute; {NULL, 0} when absent. */
tw_str tw_xml_get(const tw_xml_node *node, const char *name);

/* ---- writing --------------------------------------------------------------------------------------------- */

#define TW_XML_DEPTH 64 /* deepest nesting the writer accepts */

/* Start with {.out = &buf}. Names and attribute names are trusted, texts are not: bytes that XML 1.0 cannot hold (no
 * UTF-8, control characters) become U+FFFD. */
typedef struct tw_xml {
    tw_buf *out;
    int depth;
    bool open;       /* the start tag is not closed yet */
    size_t replaced; /* bytes that became U+FFFD */
    struct {
        const char *name;
        bool inline_, filled;
    } at[TW_XML_DEPTH];
} tw_xml;

/* <?xml version="1.0" encoding="UTF-8"?> and, when given, <!DOCTYPE doctype>. Nothing may be written before. */
void tw_xml_begin(tw_xml *xml, const char *doctype);

/* Starts an element as a child of the one that is open. `name` must live until it is closed. */
void tw_xml_open(tw_xml *xml, const char *name);
void tw_xml_open_with(tw_xml *xml, const char *name, const char *attribute, const char *value); /* and its first */

/* Ends the innermost open element: <name/> when nothing is in it. */
void tw_xml_close(tw_xml *xml);
void tw_xml_close_to(tw_xml *xml, int depth); /* until xml->depth is `depth` */

/* Attributes of the element just opened, before any text or child. Numbers have at most `places` decimals (0..9),
 * without trailing zeros ("1665", "0.5"). */
void tw_xml_attr(tw_xml *xml, const char *name, tw_str value);
void tw_xml_attrz(tw_xml *xml, const char *name, const char *value);
void tw_xml_attrf(tw_xml *xml, const char *name, const char *format, ...) TW_PRINTF(3, 4); /* no %f, %g, %e */
void tw_xml_attr_num(tw_xml *xml, const char *name, double value, int places);

/* Text, escaped. From here on the element's content stays on one line, since blanks count in it. */
void tw_xml_text(tw_xml *xml, tw_str text);
void tw_xml_textz(tw_xml *xml, const char *text);
void tw_xml_textf(tw_xml *xml, const char *format, ...) TW_PRINTF(2, 3);

/* Keeps the content of the element on one line though it begins with an element. */
void tw_xml_inline(tw_xml *xml);

/* <name>text</name>, one call. */
void tw_xml_leaf(tw_xml *xml, const char *name, tw_str text);

/* Appends a number with at most `places` decimals and no trailing zeros: lists of numbers in attributes. */
void tw_xml_add_num(tw_buf *out, double value, int places);

#ifdef __cplusplus
}
#endif
#endif
