"""The drawing: view, scene, one item a part, colours along the track."""
