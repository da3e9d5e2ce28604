"""PDF documents."""
