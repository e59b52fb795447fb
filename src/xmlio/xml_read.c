/* SPDX-License-Identifier: Apache-2.0
 *
 * Reading over libxml2's SAX2 interface: the tree is built here, in the arena, with a place for every element.
 */
#include <tallwide/xmlio.h>

#include <string.h>

#include <libxml/parser.h>
#include <libxml/parserInternals.h>
#include <libxml/xmlerror.h>

typedef struct reader {
    tw_arena *arena;
    tw_diags *diags;
    tw_xml_doc *doc;
    tw_status status;
    xmlParserCtxtPtr parser;
    tw_xml_node *open[TW_XML_READ_DEPTH];
    int depth;
    uint32_t nodes;
    tw_buf text;        /* of the innermost element, since its last child */
    size_t line_offset; /* of the line that is `line`: places are asked for in order */
    uint32_t line;
    tw_str line_text;
} reader;

static tw_str text_of(const xmlChar *at, size_t len)
{
    return (tw_str){(const char *)at, len};
}

static tw_str text_z(const xmlChar *z)
{
    return tw_str_z((const char *)z);
}

/* ---- places ---------------------------------------------------------------------------------------------- */

/* The offset of the '<' of the start tag just read: no attribute value may hold one (XML 1.0, 2.3), so it is the
 * last. */
static size_t tag_offset(const reader *r)
{
    const xmlParserInput *input = r->parser->input;
    size_t at = (size_t)input->consumed + (size_t)(input->cur - input->base);
    at = at < r->doc->bytes.len ? at : r->doc->bytes.len;
    while (at > 0 && r->doc->bytes.at[at - 1] != '<')
        at--;
    return at > 0 ? at - 1 : 0;
}

static tw_str line_at(tw_str bytes, size_t start)
{
    size_t end = start;
    while (end < bytes.len && bytes.at[end] != '\n' && bytes.at[end] != '\r')
        end++;
    return (tw_str){bytes.at + start, end - start};
}

/* Moves the mark to the line that holds the offset; offsets come in order, so all calls together read the bytes
 * once. */
static void find_line(reader *r, size_t offset)
{
    const char *at = r->doc->bytes.at;
    for (;;) {
        const char *end = memchr(at + r->line_offset, '\n', offset - r->line_offset);
        if (end == NULL)
            break;
        r->line_offset = (size_t)(end - at) + 1;
        r->line++;
        r->line_text.at = NULL;
    }
    if (r->line_text.at == NULL)
        r->line_text = line_at(r->doc->bytes, r->line_offset);
}

tw_place tw_xml_place(const tw_xml_doc *doc, const tw_xml_node *node)
{
    return (tw_place){
        .file = doc->file,
        .line = node->line,
        .column = (uint32_t)(doc->bytes.at + node->offset - node->line_text.at) + 1,
        .width = (uint32_t)node->name.len + 1,
        .text = node->line_text,
    };
}

/* ---- refusing -------------------------------------------------------------------------------------------- */

static void stop(reader *r, tw_status status)
{
    r->status = status;
    xmlStopParser(r->parser);
}

/* A line by its number: only for what is about to be told. */
static tw_place at_line(const reader *r, int line, int column)
{
    tw_place place = {.file = r->doc->file};
    if (line <= 0)
        return place;
    size_t start = 0;
    for (int l = 1; l < line; l++) {
        const char *end = memchr(r->doc->bytes.at + start, '\n', r->doc->bytes.len - start);
        if (end == NULL)
            break;
        start = (size_t)(end - r->doc->bytes.at) + 1;
    }
    place.line = (uint32_t)line;
    place.column = column > 0 ? (uint32_t)column : 0;
    place.text = line_at(r->doc->bytes, start);
    return place;
}

static tw_place here(const reader *r)
{
    return at_line(r, r->parser->input != NULL ? r->parser->input->line : 0, 0);
}

static void refuse_declaration(void *context)
{
    reader *r = ((xmlParserCtxtPtr)context)->_private;
    const tw_place place = here(r);
    if (r->status != TW_OK)
        return;
    tw_diag_add(r->diags, 2002, &place,
                "the document type carries declarations of its own, which this tool does not read");
    stop(r, TW_ERR_SYNTAX);
}

static void on_entity(void *context, const xmlChar *name, int type, const xmlChar *public_id, const xmlChar *system_id,
                      xmlChar *content)
{
    (void)name, (void)type, (void)public_id, (void)system_id, (void)content;
    refuse_declaration(context);
}

static void on_element_declared(void *context, const xmlChar *name, int type, xmlElementContentPtr content)
{
    (void)name, (void)type, (void)content;
    refuse_declaration(context);
}

static void on_attribute_declared(void *context, const xmlChar *element, const xmlChar *name, int type, int def,
                                  const xmlChar *value, xmlEnumerationPtr tree)
{
    (void)element, (void)name, (void)type, (void)def, (void)value;
    xmlFreeEnumeration(tree);
    refuse_declaration(context);
}

static void on_notation(void *context, const xmlChar *name, const xmlChar *public_id, const xmlChar *system_id)
{
    (void)name, (void)public_id, (void)system_id;
    refuse_declaration(context);
}

static void on_unparsed(void *context, const xmlChar *name, const xmlChar *public_id, const xmlChar *system_id,
                        const xmlChar *notation)
{
    (void)notation;
    on_notation(context, name, public_id, system_id);
}

/* libxml2's own words, without their line end. */
static void on_error(void *context, xmlErrorPtr error)
{
    reader *r = ((xmlParserCtxtPtr)context)->_private;
    if (r == NULL || r->status != TW_OK || error->level < XML_ERR_ERROR)
        return;
    tw_str said = tw_str_z(error->message);
    while (said.len > 0 && (said.at[said.len - 1] == '\n' || said.at[said.len - 1] == ' '))
        said.len--;
    const tw_place place = at_line(r, error->line, error->int2);
    tw_diag_add(r->diags, 2001, &place, "this is not well-formed XML: %.*s", TW_ARG(said));
    stop(r, TW_ERR_SYNTAX);
}

/* ---- building -------------------------------------------------------------------------------------------- */

static void keep_attributes(reader *r, tw_xml_node *node, int count, const xmlChar **attributes)
{
    node->attrs = TW_NEW_N(r->arena, tw_xml_attribute, (size_t)count);
    for (int i = 0; i < count; i++) {
        const xmlChar **a = attributes + 5 * i; /* name, prefix, URI, value, end of value */
        bool prefixed = a[1] != NULL;
        node->attrs[node->attr_count++] = (tw_xml_attribute){
            .name = prefixed ? tw_arena_printf(r->arena, "%s:%s", (const char *)a[1], (const char *)a[0])
                             : tw_arena_dup(r->arena, text_z(a[0])),
            .value = tw_arena_dup(r->arena, text_of(a[3], (size_t)(a[4] - a[3]))),
        };
    }
}

static void on_start(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri, int namespaces,
                     const xmlChar **declared, int attributes, int defaulted, const xmlChar **values)
{
    reader *r = ((xmlParserCtxtPtr)context)->_private;
    (void)prefix, (void)namespaces, (void)declared, (void)defaulted;
    if (r->status != TW_OK)
        return;
    if (r->depth == TW_XML_READ_DEPTH || r->nodes == TW_XML_NODES) {
        const tw_place place = here(r);
        tw_diag_add(r->diags, 2003, &place, "elements are nested more than %d deep, or there are more than %u",
                    TW_XML_READ_DEPTH, TW_XML_NODES);
        stop(r, TW_ERR_LIMIT);
        return;
    }
    tw_xml_node *node = TW_NEW(r->arena, tw_xml_node);
    node->offset = tag_offset(r);
    find_line(r, node->offset);
    node->line = r->line;
    node->line_text = r->line_text;
    node->name = tw_arena_dup(r->arena, text_z(name));
    node->space = tw_arena_dup(r->arena, text_z(uri));
    keep_attributes(r, node, attributes, values);
    if (r->depth > 0) {
        tw_xml_node *parent = r->open[r->depth - 1];
        if (parent->last != NULL)
            parent->last->next = node;
        else
            parent->child = node;
        parent->last = node;
    } else {
        r->doc->root = node;
    }
    r->open[r->depth++] = node;
    r->nodes++;
    r->text.len = 0;
}

static void on_end(void *context, const xmlChar *name, const xmlChar *prefix, const xmlChar *uri)
{
    reader *r = ((xmlParserCtxtPtr)context)->_private;
    (void)name, (void)prefix, (void)uri;
    if (r->status != TW_OK || r->depth == 0)
        return;
    tw_xml_node *node = r->open[--r->depth];
    if (node->child == NULL)
        node->text = tw_arena_dup(r->arena, tw_buf_str(&r->text));
    r->text.len = 0;
}

static void on_text(void *context, const xmlChar *at, int len)
{
    reader *r = ((xmlParserCtxtPtr)context)->_private;
    if (r->status == TW_OK)
        tw_buf_add(&r->text, text_of(at, (size_t)len));
}

static const xmlSAXHandler handlers = {
    .initialized = XML_SAX2_MAGIC,
    .startElementNs = on_start,
    .endElementNs = on_end,
    .characters = on_text,
    .cdataBlock = on_text,
    .ignorableWhitespace = on_text,
    .entityDecl = on_entity,
    .elementDecl = on_element_declared,
    .attributeDecl = on_attribute_declared,
    .notationDecl = on_notation,
    .unparsedEntityDecl = on_unparsed,
    .serror = on_error,
};

/* ---- the call -------------------------------------------------------------------------------------------- */

/* ISO-8859-1 is U+0000 to U+00FF, byte by byte; who writes it says so. */
static bool is_latin(tw_str bytes)
{
    const char *end = memchr(bytes.at, '>', bytes.len);
    const tw_str head = tw_str_cut(bytes, end != NULL ? (size_t)(end - bytes.at) : 0);
    return tw_str_glob(TW_STR("<?xml*encoding*\"iso-8859-1\"*"), head) ||
           tw_str_glob(TW_STR("<?xml*encoding*'iso-8859-1'*"), head);
}

static tw_str from_latin(tw_arena *arena, tw_str bytes)
{
    tw_buf out = {.arena = arena};
    for (size_t i = 0; i < bytes.len; i++) {
        unsigned char c = (unsigned char)bytes.at[i];
        if (c >= 0x80)
            tw_buf_addc(&out, (char)(0xC0 | c >> 6));
        tw_buf_addc(&out, (char)(c < 0x80 ? c : 0x80 | (c & 0x3F)));
    }
    return tw_buf_str(&out);
}

/* Offsets are of the bytes that are parsed, so the parser must not convert them. */
static bool make_utf8(tw_arena *arena, tw_xml_doc *doc, tw_diags *diags)
{
    size_t bad = 0;
    const char *nul = memchr(doc->bytes.at, '\0', doc->bytes.len);
    bool utf8 = tw_str_utf8(doc->bytes, &bad);
    if (utf8 && nul == NULL)
        return true;
    if (nul == NULL && is_latin(doc->bytes)) {
        doc->bytes = from_latin(arena, doc->bytes);
        return true;
    }
    bad = utf8 ? (size_t)(nul - doc->bytes.at) : bad;
    reader r = {.doc = doc, .line = 1};
    find_line(&r, bad);
    const tw_place place = {
        .file = doc->file, .line = r.line, .column = (uint32_t)(bad - r.line_offset) + 1, .text = r.line_text};
    tw_diag_add(diags, 2001, &place, "this is not UTF-8 text (byte %zu): save the file as UTF-8", bad + 1);
    return false;
}

tw_status tw_xml_read(tw_arena *arena, tw_str bytes, tw_str file, tw_diags *diags, tw_xml_doc *out)
{
    tw_xml_doc doc = {.file = file, .bytes = bytes};
    if (bytes.len == 0 || bytes.len > INT32_MAX / 2) {
        tw_diag_add(diags, bytes.len == 0 ? 2001 : 2003, TW_IN(file),
                    bytes.len == 0 ? "the file is empty" : "the file is larger than 1 GiB");
        return bytes.len == 0 ? TW_ERR_SYNTAX : TW_ERR_LIMIT;
    }
    if (!make_utf8(arena, &doc, diags))
        return TW_ERR_SYNTAX;
    reader r = {.arena = arena, .diags = diags, .doc = &doc, .line = 1, .text = {.arena = arena}};
    r.parser = xmlCreateMemoryParserCtxt(doc.bytes.at, (int)doc.bytes.len);
    if (r.parser == NULL)
        return TW_ERR_BUG;
    *r.parser->sax = handlers;
    r.parser->_private = &r;
    r.parser->userData = r.parser;
    /* NOENT: else "&amp;" in an attribute comes as "&#38;". There are no other entities: handlers that would find or load
     * one are not set, and a declaration ends the reading. */
    xmlCtxtUseOptions(r.parser, XML_PARSE_NONET | XML_PARSE_NOENT | XML_PARSE_BIG_LINES | XML_PARSE_IGNORE_ENC);
    xmlParseDocument(r.parser);
    xmlFreeDoc(r.parser->myDoc); /* a document type leaves one behind even where no tree is built */
    xmlFreeParserCtxt(r.parser);
    if (r.status == TW_OK && doc.root == NULL) {
        tw_diag_add(diags, 2001, TW_IN(file), "the file holds no XML element");
        r.status = TW_ERR_SYNTAX;
    }
    if (r.status == TW_OK)
        *out = doc;
    return r.status;
}

tw_str tw_xml_get(const tw_xml_node *node, const char *name)
{
    for (size_t i = 0; i < node->attr_count; i++)
        if (tw_str_is(node->attrs[i].name, name))
            return node->attrs[i].value;
    return (tw_str){NULL, 0};
}
