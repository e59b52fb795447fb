/* SPDX-License-Identifier: Apache-2.0 */
#ifndef TW_CLI_START_MEDIA_H
#define TW_CLI_START_MEDIA_H

#include "media.h"

/* Fills in size, squeeze, rate and files of the sources from the folders of --media. */
exit_code start_media(cli *app, const tw_timeline *edit, tw_source *sources, size_t count);

#endif
