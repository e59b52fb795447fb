/* SPDX-License-Identifier: Apache-2.0 */
#include <tallwide/edl.h>
#include <tallwide/formats.h>
#include <tallwide/otio.h>
#include <tallwide/smil.h>

static const tw_format *const formats[] = {&tw_format_otio, &tw_format_edl, &tw_format_smil};

const tw_format *tw_formats_at(size_t index)
{
    return index < TW_COUNT(formats) ? formats[index] : NULL;
}

tw_str tw_formats_names(tw_arena *arena)
{
    tw_buf names = {.arena = arena};
    for (size_t i = 0; i < TW_COUNT(formats); i++)
        tw_buf_addf(&names, "%s%s", i > 0 ? ", " : "", formats[i]->name);
    return tw_buf_str(&names);
}

const tw_format *tw_formats_named(tw_str name)
{
    for (size_t i = 0; i < TW_COUNT(formats); i++)
        if (tw_str_ieq(tw_str_z(formats[i]->name), name))
            return formats[i];
    return NULL;
}

static bool has_extension(const tw_format *format, tw_str path)
{
    tw_str base = tw_str_basename(path), stem = tw_str_stem(path);
    if (stem.len == base.len)
        return false;
    tw_str extension = tw_str_from(base, stem.len + 1);
    for (size_t e = 0; e < 4 && format->extensions[e] != NULL; e++)
        if (tw_str_ieq(extension, tw_str_z(format->extensions[e])))
            return true;
    return false;
}

const tw_format *tw_formats_for_path(tw_str path)
{
    for (size_t i = 0; i < TW_COUNT(formats); i++)
        if (has_extension(formats[i], path))
            return formats[i];
    return NULL;
}

const tw_format *tw_formats_probe(tw_str bytes)
{
    const tw_format *best = NULL;
    int most = 0;
    for (size_t i = 0; i < TW_COUNT(formats); i++) {
        int sure = formats[i]->probe(bytes);
        if (sure > most) {
            most = sure;
            best = formats[i];
        }
    }
    return best;
}

tw_status tw_formats_read(tw_arena *arena, tw_str bytes, tw_str file, const tw_read_options *options, tw_diags *diags,
                          tw_timeline **out)
{
    const tw_format *format = tw_formats_probe(bytes);
    if (format == NULL) /* the name may know better than the bytes, and the reader then says what is wrong */
        format = tw_formats_for_path(file);
    if (format == NULL) {
        tw_diag_add(diags, 1001, TW_IN(file), "this is in none of the formats that are read: %.*s",
                    TW_ARG(tw_formats_names(arena)));
        return TW_ERR_SYNTAX;
    }
    return format->read(arena, bytes, file, options, diags, out);
}
