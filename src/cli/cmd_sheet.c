/* SPDX-License-Identifier: Apache-2.0
 *
 * The page for people.
 */
#define _POSIX_C_SOURCE 200809L
#include "cmd.h"
#include "outputs.h"

#include <unistd.h>

/* Where stills are looked for, and how the page gets there. */
typedef struct stills {
    cli *app;
    const char *folder;
    tw_str relative; /* from the page's folder, with its final '/' */
    bool any;        /* is there */
} stills;

/* A path as a relative reference (RFC 3986): what could be taken for something else is escaped. */
static tw_str as_reference(tw_arena *arena, tw_str path)
{
    static const char safe[] = "-._~/!$'()*+,;=@";
    tw_buf out = {.arena = arena};
    for (size_t i = 0; i < path.len; i++) {
        unsigned char c = (unsigned char)path.at[i];
        bool kept = (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z');
        for (const char *p = safe; *p != '\0' && !kept; p++)
            kept = (unsigned char)*p == c;
        if (kept)
            tw_buf_addc(&out, (char)c);
        else
            tw_buf_addf(&out, "%%%02X", c);
    }
    return tw_buf_str(&out);
}

static tw_str find_still(void *context, tw_str name)
{
    static const char *const endings[] = {"jpg", "jpeg", "png", "webp"};
    stills *s = context;
    for (size_t e = 0; e < TW_COUNT(endings); e++) {
        tw_str path = tw_arena_printf(s->app->arena, "%s/%.*s.%s", s->folder, TW_ARG(name), endings[e]);
        if (access(path.at, R_OK) != 0)
            continue;
        s->any = true;
        tw_str from_page = tw_arena_printf(s->app->arena, "%.*s%.*s.%s", TW_ARG(s->relative), TW_ARG(name), endings[e]);
        return as_reference(s->app->arena, from_page);
    }
    return (tw_str){NULL, 0};
}

static exit_code save_sheet(cli *app, const project *p, const char *path, const tw_derived *derived)
{
    stills s = {app, app->set.stills, {NULL, 0}, false};
    if (s.folder != NULL)
        s.relative = name_relative(app->arena, path, tw_arena_printf(app->arena, "%s/", s.folder).at);
    const tw_sheet_options options = {
        .title = tw_str_z(app->set.title),
        .still = s.folder != NULL ? find_still : NULL,
        .still_context = &s,
        .agreed = agreed_shots(app, p, derived),
    };
    tw_buf page = {.arena = app->arena};
    tw_report_sheet(derived, &options, &page);
    if (s.folder != NULL && !s.any)
        tw_diag_add(app->diags, 2206, TW_IN(tw_str_z(s.folder)), "no still of any shot is in this folder");
    exit_code code = put_text(app, path, tw_buf_str(&page), p->inputs, p->input_count);
    if (code == EXIT_FINE && put_may_tell(app, path))
        tw_buf_addf(&app->out, "wrote %s\n", path);
    return code;
}

exit_code cmd_sheet(cli *app)
{
    project p;
    tw_derived *derived = NULL;
    if (app->set.stills != NULL && !is_folder(app->set.stills))
        return EXIT_IO;
    exit_code code = load_solved(app, &p, &derived);
    if (code != EXIT_FINE)
        return code;
    const char *path =
        app->set.out != NULL ? app->set.out : name_beside(app->arena, p.folder, p.edit.path, TW_STR(SHEET_NAME));
    code = may_stand(app, path, false);
    if (code != EXIT_FINE)
        return code;
    return save_sheet(app, &p, path, derived);
}
