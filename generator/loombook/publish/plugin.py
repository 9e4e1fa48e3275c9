"""The MkDocs plugin: every page of the manual becomes a page of the site, without a file being written under docs/."""

from __future__ import annotations

import datetime
import html
import re
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path

from mkdocs.config import base, config_options
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page
from mkdocs.utils import meta

from loombook.diagnostics import InventoryError, as_text
from loombook.manual import model
from loombook.pipeline import manual_of
from loombook.publish import (
    aside, assets, datablock, downloads, failure, kept, lettering, links, pdf, pocket, svg, wordsearch,
)  # fmt: skip
from loombook.publish.abort import InventoryAbort
from loombook.publish.nav import HOME, navigation

log = get_plugin_logger(__name__)  # a child of MkDocs' own log, so that --strict counts what it warns of

_FIGURE = re.compile(r"<!--figure:([\w.-]+)-->")


_NOT_FOR_A_FOLDER = {"404.html", "sitemap.xml"}
"""Of the theme: both hold addresses from the root of a web server, and the map of the site also today's date."""


class LoombookConfig(base.Config):
    """What mkdocs.yml may say below `loombook:`."""

    vessel = config_options.Dir(default="vessel")
    """The folder with the inventory, relative to mkdocs.yml."""
    before = config_options.Optional(config_options.Dir(exists=True))
    """The folder with the inventory of an earlier revision; with it a page tells what was changed since."""
    as_of = config_options.Type((str, datetime.date), default="today")
    """The day the manual speaks from: `today`, or a date as 2025-06-30 to build the same bytes again."""
    pdf = config_options.Type(bool, default=True)
    """Whether the site carries the manual and its cards as PDF. `serve` makes none."""


class LoombookPlugin(BasePlugin[LoombookConfig]):
    """Adds the manual to the site. One instance lives through all builds of one `mkdocs serve`."""

    def __init__(self) -> None:
        self.serving = False
        self.keeping = False
        """Whether pages that would come out the same are left as they are."""
        self.last = kept.LastBuild()
        self.same: frozenset[str] = frozenset()
        """The pages that this build leaves as they are."""
        self.manual = failure.BLANK
        """The manual of the last good build."""
        self.printed: Future[dict[str, bytes]] | None = None
        """The PDFs, set beside the site: Typst needs no turn of Python's."""
        self.failure = ""
        """Why this build has no manual of its own."""
        self.pages: dict[str, model.Page] = {}
        """Path in the manual → page."""
        self.paths: dict[str, str] = {}
        """Path in the manual or in docs/ → path as published."""
        self.blocks: dict[str, list[str]] = {}
        """Path in the manual → the ready HTML of its page that Markdown is not asked to read."""
        self.present: dict[str, set[str]] = {}
        """Page → the anchors on it."""
        self.anchors: dict[str, list[tuple[str, str]]] = {}
        """Page → its links to an anchor: the published path and the anchor."""

    def on_startup(self, *, command: str, dirty: bool) -> None:
        self.serving = command == "serve"
        self.keeping = dirty
        if dirty:
            kept.hush()

    @event_priority(100)  # before the offline plugin, which would ask the internet for the shim
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        config.extra.setdefault("polyfills", []).extend(assets.EARLY_SCRIPTS)
        config.extra_css[:0] = assets.STYLES
        config.extra_javascript[:0] = assets.SCRIPTS
        config.theme.static_templates -= _NOT_FOR_A_FOLDER
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Reads the manual before MkDocs clears the site's folder, so that an error leaves the last site whole."""
        self.failure = ""
        self.blocks = {}
        self.printed = None
        try:
            paper = self.config.pdf and not self.serving
            self.manual = manual_of(_from_here(self.config.vessel), self._as_of(), paper, self._before())
        except InventoryError as error:
            if not self.serving:
                raise InventoryAbort(error.text) from None
            log.info(f"every page shows these messages:\n\n{error.text}")
            self.failure = error.text
            self.last.fail()
        if self.manual.paper:
            with_time = ThreadPoolExecutor(1, thread_name_prefix="pdf")
            self.printed = with_time.submit(pdf.pdfs, self.manual)
            with_time.shutdown(wait=False)

    def _before(self) -> Path | None:
        return _from_here(self.config.before) if self.config.before else None

    def _as_of(self) -> datetime.date:
        day = self.config.as_of
        if day == "today":
            return datetime.date.today()
        try:
            return day if isinstance(day, datetime.date) else datetime.date.fromisoformat(day)
        except ValueError:
            raise PluginError(f"mkdocs.yml: as_of is `today` or a date like 2025-06-30, not `{day}`") from None

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        written = [file for file in files.documentation_pages() if file.generated_by is None]
        foreign = [file for file in written if not self._speaks_of_this_vessel(file)]
        for file in [*foreign, *(file for file in files if file.src_uri in _NOT_FOR_A_FOLDER)]:
            files.remove(file)
        written = [file for file in written if file not in foreign]
        pages = {page.path: page for page in self.manual.pages}
        contents = {path: "\n" + page.body for path, page in pages.items()}  # the empty line: here is no front matter
        more = {pocket.NAME: pocket.pocket(self.manual)} if self.manual.find else {}
        for path, content in {**contents, **self.manual.files, **assets.files(), **more}.items():
            if files.get_file_from_path(path):
                there = f"{self._docs(config)}/{path}"
                raise PluginError(f"{there} stands where the manual has a file of its own; rename it")
            listed = path not in pages or pages[path].chapter is not None or path == HOME
            inclusion = InclusionLevel.UNDEFINED if listed else InclusionLevel.NOT_IN_NAV
            files.append(File.generated(config, path, content=content, inclusion=inclusion))

        self.pages = pages
        self.paths = {file.src_uri: file.dest_uri for file in files}
        self.paths |= {name: name for name in pdf.names(self.manual) if self.manual.paper}
        config.site_name = html.escape(self.manual.title)
        config.nav = navigation(self.manual, [(file.src_uri, _front_matter(file, "chapter")) for file in written])
        self._keep(files, config)
        try:
            wordsearch.mend(files)
        except ValueError as error:
            log.warning(f"the search may fail at some words; {error}. Install the versions in constraints.txt.")
        return files

    def _keep(self, files: Files, config: MkDocsConfig) -> None:
        """Find the pages that this build can leave as they are, and mark their files."""
        self.same = frozenset()
        sources = {file.src_uri: file for file in files.documentation_pages()}
        if self.keeping and not self.failure:
            places = {item: place for item, (_, place) in self.manual.links.items()}
            frame = (config.site_name, config.nav, places, self.paths)
            self.same = self.last.unchanged(frame, {path: self._rests_on(file) for path, file in sources.items()})
        for path, file in sources.items():
            kept.settle(file, path not in self.same)
        if not self.failure:
            self.anchors = {page: found for page, found in self.anchors.items() if page in self.same}
            self.present = {page: found for page, found in self.present.items() if page in self.same}

    def _rests_on(self, file: File) -> tuple:
        """All that a page's own part of the site is made of."""
        page = self.pages.get(file.src_uri)
        if page is None:  # written by hand: it asks for the names of items
            return file.content_string, self.manual.links
        shown = [self.manual.drawings.get(name) for name in _FIGURE.findall(page.body)]
        return page, shown, self.manual.find if datablock.PLACEHOLDER in page.body else None

    @event_priority(100)  # before the tags plugin reads them
    def on_page_markdown(self, markdown: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        path = page.file.src_uri
        if self.failure:
            page.meta = {"title": failure.TITLE}
            return failure.body(self.failure)
        if path in self.pages:
            # MkDocs and its theme put titles and tags into the page as they are, so they go in escaped.
            page.meta = {
                "title": html.escape(self.pages[path].title),
                "tags": [html.escape(tag) for tag in self.pages[path].tags],
            }
            markdown, self.blocks[path] = aside.set_aside(markdown)
            return markdown
        front_matter = page.file.content_string.count("\n") - markdown.count("\n")
        return links.link_items(
            markdown,
            self.manual.links,
            lambda line, message: log.warning(f"{self._docs(config)}/{path}:{line + front_matter}: {message}"),
        )

    def on_page_content(self, content: str, *, page: Page, config: MkDocsConfig, files: Files) -> str:
        if self.failure:
            return content
        blocks = self.blocks.get(page.file.src_uri, [])
        page.present_anchor_ids |= aside.ids(blocks)
        self.present[page.file.src_uri] = page.present_anchor_ids
        return aside.put_back(content, blocks, unsearched=False)

    def on_post_page(self, output: str, *, page: Page, config: MkDocsConfig) -> str:
        """Puts the drawings in and the links right. So late, because Markdown is slow with a long drawing."""
        here = page.file.dest_uri
        shown: dict[str, int] = {}

        if self.failure:
            return output

        def complain(message: str) -> None:
            log.warning(f"{page.file.src_uri}: {message}")

        def figure(match: re.Match) -> str:
            name = match[1]
            if name not in self.manual.drawings:
                complain(f"no drawing `{name}` in the manual")
                return ""
            shown[name] = shown.get(name, 0) + 1
            return svg.boxed(self.manual.drawings[name], name, shown[name])

        def address(link: str) -> str | None:
            try:
                return links.address(link, here, self.manual.links, self.paths)[0]
            except links.UnknownTarget as unknown:
                return complain(str(unknown))

        output = aside.put_back(output, self.blocks.get(page.file.src_uri, []))
        if downloads.MARK in output:
            waits = self.serving and self.config.pdf
            output = output.replace(downloads.MARK, downloads.downloads(self.manual, pocket.NAME in self.paths, waits))
        if datablock.PLACEHOLDER in output:
            output = output.replace(datablock.PLACEHOLDER, datablock.block(self.manual.find, address))
        anchors = self.anchors[page.file.src_uri] = []
        output = links.resolve(
            _FIGURE.sub(figure, output),
            here,
            self.manual.links,
            self.paths,
            complain,
            lambda path, anchor: anchor and anchors.append((path, anchor)),
        )
        if self.keeping:
            self.last.note(page.file.src_uri, output)
        return output

    @event_priority(100)  # before the search writes its index
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        if self.failure:
            return
        if self.printed:
            self._print(Path(config.site_dir))
        present = {self.paths[page]: ids for page, ids in self.present.items()}
        for here, found in self.anchors.items():
            for path, anchor in found:
                if path in present and anchor not in present[path]:
                    log.warning(f"{here}: a link leads to `{path}#{anchor}`, and that page has no such place")
        if self.keeping:
            self.last.restore(self.same, lambda page: f"{config.site_dir}/{self.paths[page]}")
            search = config.plugins.get("material/search")
            if search:
                search.search_index_prev = None  # it remembers one page, this one all of them
                self.last.complete(search.search_index, [self.paths[page] for page in self.same])

    def _print(self, site: Path) -> None:
        try:
            pdf.write(self.printed.result(), site)
        except failure.PublishError as error:
            raise PluginError(str(error)) from None
        for warning in lettering.boxes_on_paper(self.manual):
            log.warning(as_text([warning], self.manual.sources).rstrip("\n"))

    def _speaks_of_this_vessel(self, file: File) -> bool:
        vessel = _front_matter(file, "vessel")
        return not vessel or vessel == self.manual.vessel

    def _docs(self, config: MkDocsConfig) -> str:
        return Path(config.docs_dir).name

    def on_serve(self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable) -> LiveReloadServer:
        folder = Path(self.config.vessel)
        if folder.is_dir():
            server.watch(str(folder))
        return server


def _from_here(folder: str) -> Path:
    """The folder as a reader of messages would write it: from where the command was given, if that is shorter."""
    path = Path(folder)
    return path.relative_to(Path.cwd()) if path.is_relative_to(Path.cwd()) else path


def _front_matter(file: File, key: str) -> str | None:
    """What a hand-written page says above its text: `chapter`, the one it asks for; `vessel`, the only one it speaks of."""
    return meta.get_data(file.content_string)[1].get(key)
