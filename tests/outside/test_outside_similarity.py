"""What is near for benchlore is near for people."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

import opendata
from benchlore.index.encoder import Encoder


def test_document_similarity_correlates_with_human_ratings(
    exported: Encoder, figure: Callable[[str], None]
) -> None:
    """Source: Lee, Pincombe & Welsh 2005, "An empirical evaluation of models of text document
    similarity", Proc. 27th Annual Conf. of the Cognitive Science Society, 1254-1259; the 50 news
    items and the mean ratings as gensim 4.4.0 carries them.

    Procedure: a document's vector is the encoder's on its whole text (it reads the first 256 word
    pieces); the similarity of two is their cosine; Pearson's correlation with the human mean over
    the 1,225 pairs above the diagonal. The paper's raters agree among themselves to about 0.6 and
    its best model reaches about 0.6.
    """
    documents, ratings = opendata.rated_documents(
        opendata.needed(opendata.LEE_DOCUMENTS), opendata.needed(opendata.LEE_RATINGS)
    )
    vectors = exported.encode(documents)
    pairs = np.triu_indices(len(documents), k=1)
    correlation = float(np.corrcoef((vectors @ vectors.T)[pairs], ratings[pairs])[0, 1])
    figure(f"correlation with people over {len(pairs[0])} pairs: {correlation:.3f}")
    assert len(pairs[0]) == 1225
    assert correlation >= 0.64
